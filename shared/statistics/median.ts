/** Medians without sorting, of many numbers and of few again and again. */

/** Up to so many numbers a pass without branches is the faster one; of many equal numbers it would take long. */
const FEW = 256;

/** Median of the finite values (the mean of the middle two); leaves its argument in another order. NaN where there is none. @cost O(n) */
export function medianOf(values: Float64Array): number {
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (!Number.isFinite(value)) continue;
    values[i] = values[count]!;
    values[count++] = value;
  }
  return medianOfFirst(values, count);
}

/** Median of the first `count` numbers, which are left in another order; NaN of none. @param values finite @cost O(count) */
export function medianOfFirst(values: Float64Array, count: number): number {
  if (count === 0) return NaN;
  const middle = count >> 1;
  const upper = count <= FEW ? selectFew(values, count, middle) : selectMany(values, count, middle);
  if (count % 2 === 1) return upper;
  let lower = -Infinity;
  for (let i = 0; i < middle; i++) if (values[i]! > lower) lower = values[i]!;
  return (lower + upper) / 2;
}

/** The value of a rank; those before it are no larger. Partitions in one direction, without a branch that cannot be foreseen. */
function selectFew(a: Float64Array, count: number, rank: number): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const at = (low + high) >> 1;
    const pivot = a[at]!;
    a[at] = a[high]!;
    let smaller = low;
    for (let i = low; i < high; i++) {
      const value = a[i]!;
      a[i] = a[smaller]!;
      a[smaller] = value;
      smaller += Number(value < pivot);
    }
    a[high] = a[smaller]!;
    a[smaller] = pivot;
    if (rank === smaller) break;
    if (rank < smaller) high = smaller - 1;
    else low = smaller + 1;
  }
  return a[rank]!;
}

/** The same from both ends (Hoare): quick where many are equal. */
function selectMany(a: Float64Array, count: number, rank: number): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = a[(low + high) >> 1]!;
    let i = low;
    let j = high;
    while (i <= j) {
      while (a[i]! < pivot) i++;
      while (a[j]! > pivot) j--;
      if (i > j) break;
      const held = a[i]!;
      a[i++] = a[j]!;
      a[j--] = held;
    }
    if (rank <= j) high = j;
    else if (rank >= i) low = i;
    else break;
  }
  return a[rank]!;
}

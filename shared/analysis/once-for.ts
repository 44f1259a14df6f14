/** What a pure function made of results, kept as long as they are: the same objects give the same again without a sum over their cells. */

interface Node<T> {
  readonly next: WeakMap<object, Node<T>>;
  made?: T;
}

/** @param make must hang on nothing but the members of the list, which never change */
export function onceFor<K extends object, T>(make: (list: readonly K[]) => T): (list: readonly K[]) => T {
  const root: Node<T> = { next: new WeakMap() };
  return (list) => {
    let at = root;
    for (const one of list) {
      const next: Node<T> = at.next.get(one) ?? { next: new WeakMap() };
      at.next.set(one, next);
      at = next;
    }
    if (!('made' in at)) at.made = make(list);
    return at.made!;
  };
}

/**
 * A picture of the page as a file of its own: the same shapes with their styles written into them, on light paper, in the page's type.
 */
/** What of a computed style an SVG shape needs to look the same elsewhere. */
const STYLES = [
  'fill',
  'fill-opacity',
  'fill-rule',
  'stroke',
  'stroke-width',
  'stroke-opacity',
  'stroke-dasharray',
  'stroke-linecap',
  'stroke-linejoin',
  'opacity',
  'font-family',
  'font-size',
  'font-weight',
  'font-variant-numeric',
  'letter-spacing',
  'text-anchor',
  'dominant-baseline',
  'paint-order',
] as const;

/** Marks what belongs to the screen alone: a cursor, a pressable area. */
export const SCREEN_ONLY = 'data-screen-only';
const NAMESPACE = 'http://www.w3.org/2000/svg';
const MARGIN_PX = 16;
const LINE_PX = 18;

export interface PictureSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/**
 * @param caption stands under the picture, folded at the picture's width
 * @param font rules that bring the type along; '' where the name alone must do
 */
export function pictureOf(svg: SVGSVGElement, caption: string, font: string): PictureSize & { readonly text: string } {
  return onLightPaper(() => {
    const { width, height } = svg.getBoundingClientRect();
    const inner = styledCopy(svg);
    const lines = folded(caption, (width / 7.2) | 0);
    const [widthPx, heightPx] = [
      Math.ceil(width) + 2 * MARGIN_PX,
      Math.ceil(height) + 2 * MARGIN_PX + lines.length * LINE_PX,
    ];
    const sheet = document.createElementNS(NAMESPACE, 'svg');
    setAll(sheet, { xmlns: NAMESPACE, width: widthPx, height: heightPx, viewBox: `0 0 ${widthPx} ${heightPx}` });
    if (font !== '') sheet.append(elementOf('style', {}, font));
    const page = getComputedStyle(document.documentElement);
    const ink = page.getPropertyValue('--ink').trim();
    sheet.append(elementOf('title', {}, caption));
    sheet.append(
      elementOf('rect', { width: widthPx, height: heightPx, fill: page.getPropertyValue('--paper').trim() }),
    );
    setAll(inner, { x: MARGIN_PX, y: MARGIN_PX, width, height });
    sheet.append(inner);
    lines.forEach((line, index) => {
      const y = MARGIN_PX + height + (index + 1) * LINE_PX;
      const type = { 'font-family': page.getPropertyValue('--type').trim(), 'font-size': 13, fill: ink };
      sheet.append(elementOf('text', { x: MARGIN_PX, y, ...type }, line));
    });
    return { text: new XMLSerializer().serializeToString(sheet), widthPx, heightPx };
  });
}

/** Styles are read as they are on light paper; the page itself is not painted in between. */
function onLightPaper<T>(make: () => T): T {
  const root = document.documentElement;
  const { theme } = root.dataset;
  root.dataset['theme'] = 'light';
  try {
    return make();
  } finally {
    if (theme === undefined) delete root.dataset['theme'];
    else root.dataset['theme'] = theme;
  }
}

function styledCopy(original: SVGSVGElement): SVGSVGElement {
  const copy = original.cloneNode(true) as SVGSVGElement;
  const from = [original, ...original.querySelectorAll('*')];
  const to = [copy, ...copy.querySelectorAll('*')];
  from.forEach((one, index) => {
    const into = to[index]!;
    const style = getComputedStyle(one);
    for (const name of STYLES) into.setAttribute(name, style.getPropertyValue(name));
    for (const name of ['class', 'style', 'tabindex', 'role']) into.removeAttribute(name);
    if (style.display === 'none') into.setAttribute(SCREEN_ONLY, '');
  });
  for (const one of copy.querySelectorAll(`[${SCREEN_ONLY}]`)) one.remove();
  return copy;
}

/** Words in lines of at most so many letters. */
export function folded(text: string, letters: number): string[] {
  const lines: string[] = [];
  for (const word of text.trim().split(/\s+/)) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + word.length < letters) lines[lines.length - 1] = `${last} ${word}`;
    else if (word !== '') lines.push(word);
  }
  return lines;
}

type Attributes = Readonly<Record<string, string | number>>;

function elementOf(name: string, attributes: Attributes, text = ''): SVGElement {
  const element = document.createElementNS(NAMESPACE, name);
  setAll(element, attributes);
  element.textContent = text;
  return element;
}
function setAll(element: SVGElement, attributes: Attributes): void {
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
}

/** Pixels of the picture, twice as fine as on screen. */
export async function pngOf({ text, widthPx, heightPx }: PictureSize & { readonly text: string }): Promise<Blob> {
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(text)}`;
  await image.decode();
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [widthPx * 2, heightPx * 2];
  canvas.getContext('2d')!.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve, reject) =>
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('the picture is too large'))), 'image/png'),
  );
}

/** The map as it is on screen, as a picture for a letter or a report: its key, scale and north beneath, on the same paper. */
import type { Map } from 'maplibre-gl';
import type { Inks } from './inks.ts';
import type { ScaleBar } from './scale-bar.ts';

export interface PrintedKey {
  /** What the colors mean, with the unit. */
  readonly title: string;
  readonly colors: readonly string[];
  /** The value between each color and the next; '' where it is not written. */
  readonly edges: readonly string[];
  readonly hasUnknown: boolean;
}

const [MARGIN_PX, LINE_PX, BAR_PX] = [16, 19, 14];
const UNKNOWN_PX = 30;

/**
 * @param lines further words beneath the key: whose farm, which season, the rights of a base map
 * @returns a PNG in the screen's own pixels
 */
export async function mapPng(
  map: Map,
  key: PrintedKey,
  scale: ScaleBar,
  lines: readonly string[],
  inks: Inks,
): Promise<Blob> {
  const ground = await frameOf(map);
  const widthPx = map.getContainer().clientWidth;
  const ratio = ground.width / widthPx;
  const canvas = document.createElement('canvas');
  const context = canvas.getContext('2d')!;
  context.font = typeOf(false);
  const widthOf = (text: string) => context.measureText(text).width;
  const written = lines.flatMap((line) => wrapped(line, widthPx - 2 * MARGIN_PX, widthOf));
  context.font = typeOf(true);
  const title = wrapped(key.title, widthPx - scaleWidthPx(scale) - 3 * MARGIN_PX, widthOf);
  const footPx = MARGIN_PX * 2 + title.length * LINE_PX + BAR_PX + LINE_PX + written.length * LINE_PX;
  [canvas.width, canvas.height] = [ground.width, ground.height + Math.ceil(footPx * ratio)];
  context.fillStyle = inks.paper;
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.drawImage(ground, 0, 0);
  for (const sheet of sheetsOver(map)) {
    const { offsetLeft, offsetTop } = sheet.parentElement!;
    context.drawImage(sheet, offsetLeft * ratio, offsetTop * ratio);
  }
  context.translate(0, ground.height);
  ground.close();
  context.scale(ratio, ratio);
  drawFoot(context, widthPx, { ...key, title }, scale, written, inks);
  return new Promise((resolve, reject) =>
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('the picture is too large'))), 'image/png'),
  );
}

/** What plays above the map just now. */
function sheetsOver(map: Map): Iterable<HTMLCanvasElement> {
  return map.getContainer().parentElement!.querySelectorAll<HTMLCanvasElement>('canvas[data-over="map"]');
}

const typeOf = (bold: boolean): string =>
  `${bold ? 700 : 400} 13px ${getComputedStyle(document.documentElement).getPropertyValue('--type')}`;

/** Lines no wider than the sheet, broken between words; a word that is wider stands alone. */
export function wrapped(text: string, mostPx: number, widthOf: (text: string) => number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && widthOf(longer) > mostPx) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  return [...lines, line];
}

/** What is drawn is gone after the frame: it is taken within the frame. */
function frameOf(map: Map): Promise<ImageBitmap> {
  return new Promise((resolve, reject) => {
    map.once('render', () => createImageBitmap(map.getCanvas()).then(resolve, reject));
    map.triggerRepaint();
  });
}

function drawFoot(
  context: CanvasRenderingContext2D,
  widthPx: number,
  key: Omit<PrintedKey, 'title'> & { readonly title: readonly string[] },
  scale: ScaleBar,
  lines: readonly string[],
  inks: Inks,
): void {
  const write = (text: string, x: number, y: number, align: CanvasTextAlign = 'left', bold = false) => {
    context.font = typeOf(bold);
    context.textAlign = align;
    context.fillText(text, x, y);
  };
  context.strokeStyle = inks.hairline;
  context.beginPath();
  context.moveTo(0, 0.5);
  context.lineTo(widthPx, 0.5);
  context.stroke();

  context.fillStyle = inks.ink;
  const barY = MARGIN_PX + key.title.length * LINE_PX;
  key.title.forEach((line, index) => write(line, MARGIN_PX, MARGIN_PX + (index + 1) * LINE_PX - 7, 'left', true));
  drawScale(context, widthPx - MARGIN_PX, barY, scale, inks, write);
  // Ranks are many and hardly written on; classes have a value between each two.
  const roomPx = widthPx - scaleWidthPx(scale) - 3 * MARGIN_PX - (key.hasUnknown ? UNKNOWN_PX + 80 : 0);
  const swatchPx = Math.min(key.colors.length > 8 ? 26 : 52, roomPx / key.colors.length);
  let x = MARGIN_PX;
  for (const color of key.colors) {
    context.fillStyle = color;
    context.fillRect(x, barY, swatchPx, BAR_PX);
    x += swatchPx;
  }
  context.fillStyle = inks.inkSoft;
  key.edges.forEach((edge, index) => write(edge, MARGIN_PX + (index + 1) * swatchPx, barY + BAR_PX + 14, 'center'));
  if (key.hasUnknown) {
    drawHatch(context, x + 16, barY, inks);
    context.fillStyle = inks.inkSoft;
    write('unknown', x + 16 + UNKNOWN_PX + 6, barY + 12);
  }
  lines.forEach((line, index) => write(line, MARGIN_PX, barY + BAR_PX + (index + 2) * LINE_PX));
}

const scaleWidthPx = (scale: ScaleBar): number => scale.px + 40;

/** Its right end at `right`. */
function drawScale(
  context: CanvasRenderingContext2D,
  right: number,
  y: number,
  scale: ScaleBar,
  inks: Inks,
  write: (text: string, x: number, y: number, align?: CanvasTextAlign) => void,
): void {
  const [from, to] = [right - scale.px - 40, right - 40];
  context.strokeStyle = inks.ink;
  context.lineWidth = 1.3;
  context.stroke(new Path2D(`M${from} ${y}V${y + 6}H${to}V${y}M${to + 22} ${y + 8}V${y - 12}m-5 7l5 -8l5 8`));
  write(scale.text, (from + to) / 2, y - 2, 'center');
  write('N', right, y + 7, 'right');
}

function drawHatch(context: CanvasRenderingContext2D, x: number, y: number, inks: Inks): void {
  context.save();
  context.beginPath();
  context.rect(x, y, UNKNOWN_PX, BAR_PX);
  context.clip();
  context.strokeStyle = inks.hatch;
  context.lineWidth = 1.4;
  context.beginPath();
  for (let at = -BAR_PX; at < UNKNOWN_PX; at += 6) {
    context.moveTo(x + at, y + BAR_PX);
    context.lineTo(x + at + BAR_PX, y);
  }
  context.stroke();
  context.strokeRect(x, y, UNKNOWN_PX, BAR_PX);
  context.restore();
}

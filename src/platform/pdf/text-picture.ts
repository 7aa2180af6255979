import { msg } from '@lit/localize';
import type { TextMark } from '../../export/chart/marks.js';
import { PICTURE_BASE, PICTURE_HIGH, type Picture, type TextPicture } from './pdf.js';

/** Pixels a size, and the longest side that browsers draw. */
const PIXELS = 100;
const LONGEST = 15_000;

const FACES = {
  serif: "400 100px 'Barwright Music', serif",
  serifBold: "600 100px 'Barwright Music', serif",
  sans: "400 100px 'Barwright Plain', sans-serif",
  sansBold: "600 100px 'Barwright Plain', sans-serif",
} as const satisfies Readonly<Record<TextMark['face'], string>>;

/** Draws a text in the page's faces and whatever the machine has in their place; narrower where it is wider than its room. */
export const textPicture: TextPicture = (text, { face, tone }, width) => {
  const context = contextOf(
    Math.min(LONGEST, Math.max(1, Math.ceil(width * PIXELS))),
    Math.ceil(PICTURE_HIGH * PIXELS),
  );
  context.font = FACES[face];
  context.fillStyle = tone === 'soft' ? '#5c564d' : '#1c1a17';
  const natural = context.measureText(text).width;
  context.scale(Math.min(1, context.canvas.width / Math.max(1, natural)), 1);
  context.fillText(text, 0, PICTURE_BASE * PIXELS);
  return pixelsOf(context);
};

/** True when the machine has no face for a letter and draws a box, or nothing, in its place. */
export function isUnset(letter: string): boolean {
  // A code that stays without a character for ever (The Unicode Standard, 23.7) shows what stands in.
  const [own, none] = [drawn(letter), drawn('\u{10ffff}')];
  return own.every((part, i) => part === none[i]);
}

function drawn(letter: string): Uint8ClampedArray {
  const context = contextOf(160, 160);
  context.font = FACES.serif;
  context.fillText(letter, 20, 120);
  return context.getImageData(0, 0, 160, 160).data;
}

function pixelsOf(context: CanvasRenderingContext2D): Picture {
  const { width, height } = context.canvas;
  const { data } = context.getImageData(0, 0, width, height);
  const colours = new Uint8Array(3 * width * height);
  const opacity = new Uint8Array(width * height);
  for (let pixel = 0; pixel < opacity.length; pixel++) {
    colours.set(data.subarray(4 * pixel, 4 * pixel + 3), 3 * pixel);
    opacity[pixel] = data[4 * pixel + 3] as number;
  }
  return { width, height, colours, opacity };
}

function contextOf(width: number, height: number): CanvasRenderingContext2D {
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [width, height];
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) throw new Error(msg('this browser gave no room to draw a picture'));
  return context;
}

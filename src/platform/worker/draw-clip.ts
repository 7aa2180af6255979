import {
  CLIP_COLOURS,
  CLIP_SIZES,
  clipMarks,
  type ClipBackground,
  type ClipMark,
  type ClipShape,
} from '../../export/clip/clip-marks.js';
import type { Scene } from '../../export/clip/clip-scene.js';

/** Families as the page calls them, and what stands in where they are missing. */
const FAMILIES = {
  music: "600 {}px 'Barwright Music', Georgia, serif",
  plain: "400 {}px 'Barwright Plain', sans-serif",
};

/** Draws a scene on a canvas of the shape's size. */
export function drawClip(
  context: OffscreenCanvasRenderingContext2D,
  scene: Scene,
  shape: ClipShape,
  background: ClipBackground,
): void {
  const { width, height } = CLIP_SIZES[shape];
  context.fillStyle = CLIP_COLOURS[background].ground;
  context.fillRect(0, 0, width, height);
  for (const mark of clipMarks(scene, shape, background)) drawMark(context, mark);
}

function drawMark(context: OffscreenCanvasRenderingContext2D, mark: ClipMark): void {
  context.fillStyle = mark.colour;
  context.strokeStyle = mark.colour;
  switch (mark.kind) {
    case 'rect':
      context.fillRect(mark.x, mark.y, mark.width, mark.height);
      return;
    case 'disc':
      context.beginPath();
      context.arc(mark.x, mark.y, mark.radius, 0, 2 * Math.PI);
      context.lineWidth = mark.radius / 5;
      if (mark.filled) context.fill();
      else context.stroke();
      return;
    case 'text': {
      const family = FAMILIES[mark.face];
      context.textAlign = mark.align;
      context.font = family.replace('{}', String(mark.size));
      const needed = context.measureText(mark.text).width;
      if (needed > mark.room) context.font = family.replace('{}', String((mark.size * mark.room) / needed));
      context.fillText(mark.text, mark.x, mark.y);
      return;
    }
    case 'stroke':
      drawStroke(context, mark);
  }
}

/** An arrow down or up, thicker with an accent; a cross where the strings are muted. */
function drawStroke(
  context: OffscreenCanvasRenderingContext2D,
  { x, y, length, up, muted, accent }: Extract<ClipMark, { kind: 'stroke' }>,
): void {
  context.lineWidth = length / (accent ? 6 : 12);
  context.beginPath();
  if (muted) {
    const [low, high] = [y + length * 0.3, y + length * 0.7];
    const half = length * 0.2;
    context.moveTo(x - half, low);
    context.lineTo(x + half, high);
    context.moveTo(x + half, low);
    context.lineTo(x - half, high);
  } else {
    const [tail, tip] = up ? [y + length, y] : [y, y + length];
    const back = tip + (up ? 1 : -1) * length * 0.35;
    context.moveTo(x, tail);
    context.lineTo(x, tip);
    context.moveTo(x - length * 0.25, back);
    context.lineTo(x, tip);
    context.lineTo(x + length * 0.25, back);
  }
  context.stroke();
}

import { msg, str } from '@lit/localize';
import { beatCount, type Scene, type SceneBar } from './clip-scene.js';

/** 16:9 for a screen, 1:1 and 9:16 for a phone. */
export type ClipShape = '16:9' | '1:1' | '9:16';
export type ClipBackground = 'plain' | 'key colour';

/** Pixels; even, as the codecs want them. */
export const CLIP_SIZES: Readonly<Record<ClipShape, { readonly width: number; readonly height: number }>> = {
  '16:9': { width: 1280, height: 720 },
  '1:1': { width: 720, height: 720 },
  '9:16': { width: 720, height: 1280 },
};

/** Green to be keyed out (common practice, no source), and paper; what stands on them. */
export const CLIP_COLOURS = {
  plain: { ground: '#fbfaf7', ink: '#1d1b18', soft: '#6b655a', lit: '#1a4f9c' },
  'key colour': { ground: '#00b140', ink: '#ffffff', soft: '#e4e4e4', lit: '#111111' },
} as const;

export type ClipMark =
  | {
      readonly kind: 'text';
      readonly text: string;
      readonly x: number;
      /** Of the baseline. */
      readonly y: number;
      readonly size: number;
      /** Letters are made smaller until they fit. */
      readonly room: number;
      readonly face: 'music' | 'plain';
      readonly colour: string;
      readonly align: 'left' | 'right' | 'center';
    }
  | {
      readonly kind: 'disc';
      readonly x: number;
      readonly y: number;
      readonly radius: number;
      readonly colour: string;
      readonly filled: boolean;
    }
  | {
      readonly kind: 'rect';
      readonly x: number;
      readonly y: number;
      readonly width: number;
      readonly height: number;
      readonly colour: string;
    }
  | {
      readonly kind: 'stroke';
      readonly x: number;
      readonly y: number;
      readonly length: number;
      readonly up: boolean;
      readonly muted: boolean;
      readonly accent: boolean;
      readonly colour: string;
    };

/** What is drawn for a scene, back to front, in pixels of the clip. */
export function clipMarks(scene: Scene, shape: ClipShape, background: ClipBackground): readonly ClipMark[] {
  const { width, height } = CLIP_SIZES[shape];
  const { ink, soft, lit } = CLIP_COLOURS[background];
  const unit = Math.min(width, height) / 100;
  const edge = 5 * unit;
  const room = width - 2 * edge;
  const words = (mark: Omit<Extract<ClipMark, { kind: 'text' }>, 'kind' | 'room'> & { room?: number }): ClipMark => ({
    kind: 'text',
    room,
    ...mark,
  });
  const marks: ClipMark[] = [];
  const top = edge + 6 * unit;
  const head = scene.section ? sectionText(scene.section) : scene.title;
  const half = { face: 'plain', size: 4.5 * unit, colour: soft, room: room * 0.48 } as const;
  marks.push(
    words({ text: head, x: edge, y: top, size: 7 * unit, room: room * 0.5, face: 'music', colour: ink, align: 'left' }),
  );
  marks.push(words({ ...half, text: scene.left, x: width - edge, y: top, align: 'right' }));
  if (scene.count !== undefined) {
    const y = height * 0.5 + 14 * unit;
    marks.push(
      words({
        text: String(scene.count),
        x: width / 2,
        y,
        size: 40 * unit,
        face: 'music',
        colour: ink,
        align: 'center',
      }),
    );
  }
  const main = { x: edge, y: height * 0.16, width: room, height: height * 0.5 };
  if (scene.current) marks.push(...barMarks(scene.current, main, { unit, ink, soft, lit, beat: scene.beat }));
  const y = height * 0.74;
  marks.push({ kind: 'rect', x: edge, y, width: room, height: 0.3 * unit, colour: soft });
  if (scene.next) {
    const name = scene.next.odd ? `${scene.next.name}   ${scene.next.odd}` : scene.next.name;
    marks.push(words({ ...half, text: msg(str`next: ${name}`), room, x: edge, y: y + 7 * unit, align: 'left' }));
    marks.push(
      ...chordMarks(
        scene.next,
        { x: edge, y: y + 7 * unit, width: room, height: height * 0.97 - y - 7 * unit },
        soft,
        soft,
      ),
    );
  }
  return marks;
}

function sectionText({ name, letter }: NonNullable<Scene['section']>): string {
  return name === letter ? name : `${letter}  ${name}`;
}

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

interface Look {
  readonly unit: number;
  readonly ink: string;
  readonly soft: string;
  readonly lit: string;
  readonly beat: number;
}

/** The bar that sounds: its name, chords on their beats, strokes under them, and the beats, the one that sounds filled. */
function barMarks(bar: SceneBar, box: Box, { unit, ink, soft, lit, beat }: Look): ClipMark[] {
  const name = bar.odd ? `${bar.name}   ${bar.odd}` : bar.name;
  const small = { kind: 'text', face: 'plain', size: 4.5 * unit, align: 'left' } as const;
  const head: ClipMark = {
    ...small,
    text: name,
    x: box.x,
    y: box.y + 5 * unit,
    room: box.width,
    colour: bar.odd ? ink : soft,
  };
  const dots = box.y + box.height - 4 * unit;
  const strum = bar.strokes.length > 0 ? 11 * unit : 0;
  const chords = { ...box, y: box.y + 6 * unit, height: box.height - 16 * unit - strum };
  const column = box.width / bar.beats;
  const radius = Math.min(3.2 * unit, column / 4);
  return [
    head,
    ...chordMarks(bar, chords, ink, soft),
    ...bar.strokes.map(({ beat: at, stroke }): ClipMark => {
      const up = stroke === 'u' || stroke === 'U';
      const accent = stroke === 'D' || stroke === 'U';
      const muted = stroke === 'x';
      return {
        kind: 'stroke',
        x: box.x + radius + at * column,
        y: dots - 15 * unit,
        length: 8 * unit,
        up,
        muted,
        accent,
        colour: ink,
      };
    }),
    ...Array.from({ length: beatCount(bar) }, (_, i): ClipMark => {
      const on = i === beat;
      return { kind: 'disc', x: box.x + radius + i * column, y: dots, radius, colour: on ? lit : ink, filled: on };
    }),
  ];
}

/** Chords where their beats are, as large as the narrowest place between two allows. */
function chordMarks(bar: SceneBar, box: Box, ink: string, soft: string): ClipMark[] {
  const column = box.width / bar.beats;
  const size = Math.min(box.height * 0.9, box.width * 0.3);
  const rooms = bar.chords.map(({ beat }, i) => ((bar.chords[i + 1]?.beat ?? bar.beats) - beat) * column * 0.94);
  return bar.chords.map(({ text, beat, held }, i) => ({
    kind: 'text',
    text,
    x: box.x + beat * column,
    y: box.y + box.height * 0.8,
    size,
    room: rooms[i] as number,
    face: 'music',
    colour: held ? soft : ink,
    align: 'left',
  }));
}

import { create, type Font } from 'fontkit';
import { decodeBase64 } from '../../dsp/base64.js';
import { facesFor, type FaceSet } from '../../export/chart/bundled-faces.js';
import type { Face } from '../../export/chart/face.js';

/** A face as far as it holds one group of scripts: WOFF, because of WOFF2 files fontkit (2.0.4) makes no subsets for a PDF. */
export interface OpenFace {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly font: Font;
}

/** A piece of a text that one font file can set; without `face` no file has its letters. */
export interface Run {
  readonly text: string;
  readonly face?: OpenFace;
}

/** The bundled faces, opened as far as a text needs them. */
export class OpenFaces {
  private readonly open = new Map<string, OpenFace>();

  private constructor(private readonly sets: readonly FaceSet[]) {}

  static async for(text: string): Promise<OpenFaces> {
    return new OpenFaces(await facesFor(text));
  }

  /** The text in pieces, each as long as it can be, in their order; invisible signs that no face has are dropped. */
  runs(text: string, face: Face): readonly Run[] {
    const whole = text.normalize('NFC');
    // Its pieces would stand in the wrong order.
    if (RIGHT_TO_LEFT.test(whole)) return [{ text: whole }];
    const runs: Run[] = [];
    for (const [written] of whole.matchAll(LETTER)) {
      const visible = written.replace(INVISIBLE, '');
      if (visible === '') continue;
      const found = this.faces(face).find(({ font }) =>
        [...visible].every((part) => font.hasGlyphForCodePoint(part.codePointAt(0) as number)),
      );
      // What no face has may be drawn otherwise with its invisible signs: they choose and join emoji.
      const letter = found ? visible : written;
      const last = runs.at(-1);
      if (last && last.face === found) runs[runs.length - 1] = { ...last, text: last.text + letter };
      else runs.push(found ? { text: letter, face: found } : { text: letter });
    }
    return runs;
  }

  private faces(face: Face): readonly OpenFace[] {
    return this.sets.map(({ subset, faces }) => {
      const name = `${face} ${subset}`;
      const known = this.open.get(name);
      if (known) return known;
      const bytes = decodeBase64(faces[face].slice(faces[face].indexOf(',') + 1));
      // The declared type asks for Node's own bytes; any will do.
      const made = { name, bytes, font: create(bytes as Parameters<typeof create>[0]) as Font };
      this.open.set(name, made);
      return made;
    });
  }
}

/** A letter with the marks on it, or signs that are joined to one (Unicode Standard Annex 29, simplified). */
const LETTER = /\P{M}\p{M}*(?:\u200d\P{M}\p{M}*)*|\p{M}+/gu;
const INVISIBLE = /\p{Default_Ignorable_Code_Point}+/gu;
/** Hebrew, Arabic and their neighbours. */
const RIGHT_TO_LEFT = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]/;

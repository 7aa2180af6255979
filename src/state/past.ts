import type { SongMap } from '../model/song-map.js';
import type { StoredStep } from './ports.js';

/** TEMPORARY until src/model/history lands. */
export class Past {
  private constructor(
    private readonly steps: readonly { label: string; map: SongMap }[],
    readonly place: number,
  ) {}
  static fromSteps(steps: readonly StoredStep[], place: number): Past {
    return new Past(
      steps.map((s) => ({ label: s.label, map: s.snapshot as SongMap })),
      place,
    );
  }
  get map(): SongMap {
    return this.steps[this.place]!.map;
  }
  get undoLabel(): string | undefined {
    return this.place > 0 ? this.steps[this.place]!.label : undefined;
  }
  get redoLabel(): string | undefined {
    return this.steps[this.place + 1]?.label;
  }
  push(label: string, map: SongMap): { past: Past; step: StoredStep } {
    const past = new Past([...this.steps.slice(0, this.place + 1), { label, map }], this.place + 1);
    return { past, step: { index: past.place, label, snapshot: map } };
  }
  moved(steps: number): Past {
    return new Past(this.steps, Math.max(0, Math.min(this.steps.length - 1, this.place + steps)));
  }
}
export function patchBetween(_before: SongMap, after: SongMap): unknown {
  return after;
}
export function patched(_map: SongMap, patch: unknown): SongMap {
  return patch as SongMap;
}

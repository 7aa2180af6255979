/** The way through the first song, in its order. */
export const GUIDE_STEPS = ['load', 'doubts', 'sections', 'play', 'chart'] as const;

export type GuideStep = (typeof GUIDE_STEPS)[number];

/** What is kept of the way through the first song. */
export interface KeptGuide {
  /** Id of the first song; absent as long as there was none. */
  readonly song?: string;
  /** What the user has done. */
  readonly done: readonly GuideStep[];
  /** It was closed or gone to its end and never comes back. */
  readonly closed: boolean;
}

export const NEW_GUIDE: KeptGuide = { done: [], closed: false };

/** The guide as the screen shows it. */
export interface Guide {
  readonly done: readonly GuideStep[];
  /** Steps not done yet, in their order. */
  readonly left: readonly GuideStep[];
}

/** The guide from what was kept; whatever makes no sense counts as not kept. */
export function readGuide(kept: unknown): KeptGuide {
  if (typeof kept !== 'object' || kept === null) return NEW_GUIDE;
  const { song, done, closed } = kept as Record<string, unknown>;
  return {
    ...(typeof song === 'string' ? { song } : {}),
    done: GUIDE_STEPS.filter((step) => Array.isArray(done) && done.includes(step)),
    closed: closed === true,
  };
}

/** What each side of the output takes of each side of the recording. */
export interface SideMix {
  readonly leftFromLeft: number;
  readonly leftFromRight: number;
  readonly rightFromLeft: number;
  readonly rightFromRight: number;
}

/** Which sides of the recording are heard; `no middle`: what both sides share is taken away. */
export type Sides = 'both' | 'left' | 'right' | 'no middle';

/** Of the middle, which both sides share, nothing is left in their difference. */
export function sideMix(sides: Sides): SideMix {
  switch (sides) {
    case 'both':
      return BOTH_SIDES;
    case 'left':
      return { leftFromLeft: 1, leftFromRight: 0, rightFromLeft: 1, rightFromRight: 0 };
    case 'right':
      return { leftFromLeft: 0, leftFromRight: 1, rightFromLeft: 0, rightFromRight: 1 };
    case 'no middle':
      return { leftFromLeft: 0.7, leftFromRight: -0.7, rightFromLeft: -0.7, rightFromRight: 0.7 };
  }
}

/** Each side as it is. */
export const BOTH_SIDES: SideMix = { leftFromLeft: 1, leftFromRight: 0, rightFromLeft: 0, rightFromRight: 1 };

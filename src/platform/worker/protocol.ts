import type { Evidence } from '../../analysis/evidence/evidence.js';
import type { FoundBeats, Step } from '../../analysis/progress.js';
import type { AnalysisSignal } from '../../analysis/evidence/signal.js';
import type { SolveOutcome } from '../../analysis/solve.js';
import type { KnownPrint, Recognised } from '../../app/kit/ports.js';
import type { Recording, SongMap } from '../../model/song-map.js';

/** Page to worker. Every request has an id of its own; the buffer of `samples` is transferred. */
export type Request =
  | { readonly kind: 'hear'; readonly id: number; readonly samples: AnalysisSignal }
  /** Makes the first map and puts the evidence in use; edits are rehearsed after the answer. */
  | {
      readonly kind: 'begin';
      readonly id: number;
      readonly evidence: Evidence;
      readonly recording: Recording;
      readonly title: string;
    }
  | {
      readonly kind: 'recognise';
      readonly id: number;
      readonly samples: AnalysisSignal;
      readonly known: readonly KnownPrint[];
    }
  /** With the map, edits of it are rehearsed after the answer. */
  | { readonly kind: 'use'; readonly id: number; readonly evidence: Evidence; readonly map?: SongMap }
  | { readonly kind: 'solve'; readonly id: number; readonly map: SongMap };

/**
 * Worker to page: any number of 'progress' and 'found', then one of the others, with the id of the request; and 'alive' now
 * and then while it is at work or waits, as for a part of the program over a slow connection.
 */
export type Reply =
  | { readonly kind: 'alive' }
  | { readonly kind: 'progress'; readonly id: number; readonly step: Step; readonly done: number }
  | { readonly kind: 'found'; readonly id: number; readonly found: FoundBeats }
  | { readonly kind: 'heard'; readonly id: number; readonly evidence: Evidence }
  | { readonly kind: 'begun'; readonly id: number; readonly map: SongMap }
  | { readonly kind: 'recognised'; readonly id: number; readonly recognised: Recognised }
  | { readonly kind: 'used'; readonly id: number }
  | { readonly kind: 'solved'; readonly id: number; readonly outcome: SolveOutcome }
  | { readonly kind: 'failed'; readonly id: number; readonly message: string };

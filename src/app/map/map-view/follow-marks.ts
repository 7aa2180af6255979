import type { BarIndex, Seconds } from '../../../music/units.js';
import type { Session } from '../../kit/session.js';
import type { BarBox } from './boxes.js';
import { placeAt, type Ruler } from './place.js';

interface MapHost extends HTMLElement {
  readonly renderRoot: HTMLElement | DocumentFragment;
  readonly session: Session;
}

/**
 * Marks the sounding bar and beat, and the bar a length key would act on, by touching only the bars concerned; keeps
 * the sounding bar in view until the user scrolls away from it.
 */
export class FollowMarks {
  private sounding: HTMLElement | undefined;
  private bar: BarIndex | undefined;
  private beat = -1;
  private target: HTMLElement | undefined;
  private targetBar: BarIndex | undefined;
  private wasPlaying = false;
  /** False once the user has scrolled away from the sounding bar. */
  private follows = true;

  constructor(private readonly host: MapHost) {}

  /** The host has drawn: elements may be others, so the next frame looks them up again. */
  forget(): void {
    if (this.sounding) this.follows = isInView(this.sounding);
    this.clearSounding();
    this.clearTarget();
  }

  show(ruler: Ruler, boxes: readonly BarBox[], at: Seconds, playing: boolean): void {
    if (!playing) {
      this.clearSounding();
      this.clearTarget();
      this.wasPlaying = false;
      return;
    }
    if (!this.wasPlaying) this.follows = true;
    this.wasPlaying = true;
    const place = placeAt(ruler, at);
    if (!place) this.clearSounding();
    else if (place.bar !== this.bar) this.enter(place.bar);
    const box = place && boxes[place.bar];
    if (place && box && this.sounding && place.beat !== this.beat) {
      this.beat = place.beat;
      const x = box.xs[place.beat] ?? 0;
      this.sounding.style.setProperty('--sx', String(x));
      this.sounding.style.setProperty('--sw', String((box.xs[place.beat + 1] ?? box.width) - x));
    }
    const target = this.host.session.lengthTarget();
    if (target !== this.targetBar) this.aim(target);
  }

  private enter(bar: BarIndex): void {
    if (this.sounding) this.follows = isInView(this.sounding);
    this.clearSounding();
    const cell = this.cellOf(bar);
    if (!cell) return;
    this.bar = bar;
    this.sounding = cell;
    cell.dataset['sounding'] = '';
    if (this.follows && !isInView(cell)) cell.scrollIntoView({ block: 'nearest', inline: 'nearest' });
  }

  private aim(bar: BarIndex | undefined): void {
    this.clearTarget();
    const cell = bar === undefined ? undefined : this.cellOf(bar);
    this.targetBar = bar;
    if (!cell) return;
    this.target = cell;
    cell.dataset['target'] = '';
  }

  private clearSounding(): void {
    if (this.sounding) delete this.sounding.dataset['sounding'];
    this.sounding = undefined;
    this.bar = undefined;
    this.beat = -1;
  }

  private clearTarget(): void {
    if (this.target) delete this.target.dataset['target'];
    this.target = undefined;
    this.targetBar = undefined;
  }

  private cellOf(bar: BarIndex): HTMLElement | undefined {
    return this.host.renderRoot.querySelector<HTMLElement>(`[data-bar="${bar}"]`) ?? undefined;
  }
}

/** True when the element lies wholly inside what its scrolling ancestor shows. */
function isInView(element: HTMLElement): boolean {
  const rect = element.getBoundingClientRect();
  const port = scrollerOf(element)?.getBoundingClientRect();
  const top = Math.max(0, port?.top ?? 0);
  const bottom = Math.min(window.innerHeight, port?.bottom ?? window.innerHeight);
  return rect.top >= top - 1 && rect.bottom <= bottom + 1;
}

/** The nearest ancestor that scrolls up and down, through shadow roots. */
function scrollerOf(element: Element): Element | undefined {
  for (let node: Node | null = element; node; node = parentOf(node)) {
    if (node instanceof Element && /auto|scroll/.test(getComputedStyle(node).overflowY)) return node;
  }
  return undefined;
}

function parentOf(node: Node): Node | null {
  if (node instanceof Element && node.assignedSlot) return node.assignedSlot;
  return node.parentNode instanceof ShadowRoot ? node.parentNode.host : node.parentNode;
}

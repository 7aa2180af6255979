import type { Seconds } from '../../../music/units.js';
import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** What a pressed pointer does, decided where it went down. */
export type Grip =
  { readonly kind: 'pan' } | { readonly kind: 'select' } | { readonly kind: 'line'; readonly time: Seconds };

/** What the close-up is told, in CSS pixels from its left edge. */
export interface Gestures {
  /** Which grip a press here gets. */
  grip(x: number, y: number, shift: boolean, touch: boolean): Grip;
  click(x: number, y: number): void;
  doubleClick(x: number, y: number): void;
  /** A drag with `grip` from `from` to `to`; `last` on release, `undefined` as `to` when it is called off. */
  drag(grip: Grip, from: number, to: number | undefined, last: boolean): void;
  /** Moved along by so many pixels. */
  pan(pixels: number): void;
  /** Widened by `factor` (below 1: closer) around `x`. */
  zoom(factor: number, x: number): void;
  /** Hovering, nothing pressed; undefined when the pointer left. */
  hover(x: number | undefined, y: number): void;
}

/** A press becomes a drag when it has moved this far, in CSS pixels. */
const DRAG_AFTER = 4;
/** A line of wheel scrolling in CSS pixels, and how much wheel travel doubles the span. */
const LINE = 16;
const WHEEL_DOUBLES = 300;

/** Turns pointers and wheel over one element into gestures: click, drag, pan, pinch; two fingers zoom, one moves along. */
export class CloseUpPointer implements ReactiveController {
  private readonly down = new Map<number, { x: number; y: number }>();
  private grip: Grip | undefined;
  private start = { x: 0, y: 0 };
  private moved = false;
  private pinched = false;
  private element: HTMLElement | undefined;

  constructor(
    host: ReactiveControllerHost,
    private readonly of: () => HTMLElement | null | undefined,
    private readonly gestures: Gestures,
  ) {
    host.addController(this);
  }

  hostUpdated(): void {
    const element = this.of() ?? undefined;
    if (element === this.element) return;
    this.hostDisconnected();
    this.element = element;
    element?.addEventListener('pointerdown', this.pressed);
    element?.addEventListener('pointermove', this.moves);
    element?.addEventListener('pointerup', this.released);
    element?.addEventListener('pointercancel', this.cancelled);
    element?.addEventListener('pointerleave', this.left);
    element?.addEventListener('dblclick', this.doubled);
    element?.addEventListener('wheel', this.wheeled, { passive: false });
  }

  hostDisconnected(): void {
    const { element } = this;
    element?.removeEventListener('pointerdown', this.pressed);
    element?.removeEventListener('pointermove', this.moves);
    element?.removeEventListener('pointerup', this.released);
    element?.removeEventListener('pointercancel', this.cancelled);
    element?.removeEventListener('pointerleave', this.left);
    element?.removeEventListener('dblclick', this.doubled);
    element?.removeEventListener('wheel', this.wheeled);
    this.element = undefined;
    this.down.clear();
    this.grip = undefined;
  }

  /** Calls a drag off, as Escape does. */
  abandon(): boolean {
    if (!this.grip || !this.moved || this.grip.kind === 'pan') return false;
    this.gestures.drag(this.grip, this.start.x, undefined, true);
    this.grip = undefined;
    return true;
  }

  private readonly pressed = (event: PointerEvent): void => {
    if (event.pointerType === 'mouse' && event.button !== 0) return;
    const at = this.place(event);
    this.down.set(event.pointerId, at);
    this.element?.setPointerCapture(event.pointerId);
    if (this.down.size === 1) {
      this.start = at;
      this.moved = false;
      this.pinched = false;
      this.grip = this.gestures.grip(at.x, at.y, event.shiftKey, event.pointerType === 'touch');
    } else {
      // A second finger: whatever the first began is called off.
      if (!this.abandon()) this.grip = undefined;
      this.pinched = true;
    }
  };

  private readonly moves = (event: PointerEvent): void => {
    const at = this.place(event);
    const before = this.down.get(event.pointerId);
    if (!before) {
      if (event.pointerType === 'mouse') this.gestures.hover(at.x, at.y);
      return;
    }
    if (this.down.size === 2) {
      this.pinch(event.pointerId, before, at);
    } else if (this.grip) {
      if (!this.moved && Math.abs(at.x - this.start.x) < DRAG_AFTER) return;
      if (this.grip.kind === 'pan') this.gestures.pan((this.moved ? before.x : this.start.x) - at.x);
      else this.gestures.drag(this.grip, this.start.x, at.x, false);
      this.moved = true;
    }
    this.down.set(event.pointerId, at);
  };

  private readonly released = (event: PointerEvent): void => {
    if (!this.down.delete(event.pointerId) || this.down.size > 0) return;
    const at = this.place(event);
    if (this.grip && this.moved && this.grip.kind !== 'pan') this.gestures.drag(this.grip, this.start.x, at.x, true);
    else if (this.grip && !this.moved && !this.pinched) this.gestures.click(this.start.x, this.start.y);
    this.grip = undefined;
  };

  private readonly cancelled = (event: PointerEvent): void => {
    this.down.delete(event.pointerId);
    this.abandon();
    this.grip = undefined;
  };

  private readonly left = (): void => this.gestures.hover(undefined, 0);

  private readonly doubled = (event: MouseEvent): void => {
    const at = this.place(event);
    this.gestures.doubleClick(at.x, at.y);
  };

  private readonly wheeled = (event: WheelEvent): void => {
    event.preventDefault();
    const unit = event.deltaMode === WheelEvent.DOM_DELTA_PIXEL ? 1 : LINE;
    // A pinch on a trackpad comes as a wheel with Ctrl, in small steps.
    if (event.ctrlKey || event.metaKey) {
      const travel = event.deltaY * unit * (Math.abs(event.deltaY) < 20 ? 4 : 1);
      this.gestures.zoom(2 ** (travel / WHEEL_DOUBLES), this.place(event).x);
      return;
    }
    const along = Math.abs(event.deltaX) > Math.abs(event.deltaY) ? event.deltaX : event.deltaY;
    this.gestures.pan(along * unit);
  };

  private pinch(moving: number, before: { x: number; y: number }, at: { x: number; y: number }): void {
    const other = [...this.down].find(([id]) => id !== moving)?.[1];
    if (!other) return;
    const apart = Math.max(24, Math.hypot(before.x - other.x, before.y - other.y));
    const now = Math.max(24, Math.hypot(at.x - other.x, at.y - other.y));
    this.gestures.zoom(apart / now, (at.x + other.x) / 2);
    this.gestures.pan((before.x - at.x) / 2);
  }

  private place(event: MouseEvent): { x: number; y: number } {
    const box = this.element?.getBoundingClientRect();
    return { x: event.clientX - (box?.left ?? 0), y: event.clientY - (box?.top ?? 0) };
  }
}

import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** Listens while the host is in the page. `target` is asked each time the host arrives: the window, the document, the host. */
export class ListenController<E extends Event = Event> implements ReactiveController {
  private current: EventTarget | undefined;

  constructor(
    host: ReactiveControllerHost,
    private readonly target: () => EventTarget,
    private readonly type: string,
    private readonly handler: (event: E) => void,
    private readonly options?: AddEventListenerOptions,
  ) {
    host.addController(this);
  }

  private readonly listener = (event: Event): void => this.handler(event as E);

  hostConnected(): void {
    this.current = this.target();
    this.current.addEventListener(this.type, this.listener, this.options);
  }

  hostDisconnected(): void {
    this.current?.removeEventListener(this.type, this.listener, this.options);
    this.current = undefined;
  }
}

/** One timer at a time; a new one replaces the one before; none outlives the host. */
export class TimerController implements ReactiveController {
  private id: ReturnType<typeof setTimeout> | undefined;

  constructor(host: ReactiveControllerHost) {
    host.addController(this);
  }

  /** Runs `what` after so many milliseconds. */
  after(milliseconds: number, what: () => void): void {
    this.cancel();
    this.id = setTimeout(() => {
      this.id = undefined;
      what();
    }, milliseconds);
  }

  cancel(): void {
    if (this.id !== undefined) clearTimeout(this.id);
    this.id = undefined;
  }

  hostDisconnected(): void {
    this.cancel();
  }
}

/** Animation frames: `once` asks for one (many asks, one frame), `run` for every one until `stop`. */
export class FrameController implements ReactiveController {
  private id: number | undefined;
  private each: ((time: number) => void) | undefined;
  private next: (() => void) | undefined;

  constructor(host: ReactiveControllerHost) {
    host.addController(this);
  }

  once(what: () => void): void {
    this.next = what;
    this.ask();
  }

  run(what: (time: number) => void): void {
    this.each = what;
    this.ask();
  }

  stop(): void {
    this.each = undefined;
  }

  get running(): boolean {
    return this.each !== undefined;
  }

  hostDisconnected(): void {
    if (this.id !== undefined) cancelAnimationFrame(this.id);
    this.id = undefined;
    this.each = undefined;
    this.next = undefined;
  }

  private ask(): void {
    this.id ??= requestAnimationFrame(this.frame);
  }

  private readonly frame = (time: number): void => {
    this.id = undefined;
    const next = this.next;
    this.next = undefined;
    next?.();
    this.each?.(time);
    if (this.each) this.ask();
  };
}

/** Calls `resized` with the width and height, in CSS pixels, of the element `of()` names once it is rendered. */
export class ResizeController implements ReactiveController {
  private observer: ResizeObserver | undefined;
  private watched: Element | undefined;

  constructor(
    host: ReactiveControllerHost,
    private readonly of: () => Element | null | undefined,
    private readonly resized: (width: number, height: number) => void,
  ) {
    host.addController(this);
  }

  hostConnected(): void {
    this.observer = new ResizeObserver((entries) => {
      const box = entries.at(-1)?.contentRect;
      if (box) this.resized(box.width, box.height);
    });
  }

  hostUpdated(): void {
    const element = this.of() ?? undefined;
    if (element === this.watched) return;
    if (this.watched) this.observer?.unobserve(this.watched);
    if (element) this.observer?.observe(element);
    this.watched = element;
  }

  hostDisconnected(): void {
    this.observer?.disconnect();
    this.observer = undefined;
    this.watched = undefined;
  }
}

/** Whether a media query holds; the host renders again when that changes. */
export class MediaController implements ReactiveController {
  private list: MediaQueryList | undefined;

  constructor(
    private readonly host: ReactiveControllerHost,
    private readonly query: string,
  ) {
    host.addController(this);
  }

  get matches(): boolean {
    return this.list?.matches ?? false;
  }

  private readonly changed = (): void => this.host.requestUpdate();

  hostConnected(): void {
    this.list = matchMedia(this.query);
    this.list.addEventListener('change', this.changed);
  }

  hostDisconnected(): void {
    this.list?.removeEventListener('change', this.changed);
  }
}

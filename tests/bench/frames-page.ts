/** What the frames benchmark does inside the page: each function is sent there whole and may use nothing outside itself. */

export interface LongTask {
  /** Milliseconds since the page began. */
  readonly at: number;
  readonly duration: number;
}

/** Collects tasks of over 50 ms (W3C Long Tasks API) in window.longTasks, from the page's beginning on. */
export function watchLongTasks(): void {
  const longTasks: LongTask[] = [];
  Object.assign(window, { longTasks });
  new PerformanceObserver((list) => {
    for (const { startTime, duration } of list.getEntries()) longTasks.push({ at: startTime, duration });
  }).observe({ type: 'longtask', buffered: true });
}

/** Puts the moment when a map is there into window.mapAt; returns the moment now. */
export function noteMap(): number {
  const { session } = document.querySelector('bw-app') as unknown as {
    session: { song: { subscribe(listener: (song: unknown) => void): void } };
  };
  session.song.subscribe((song) => {
    if (song && !('mapAt' in window)) Object.assign(window, { mapAt: performance.now() });
  });
  return performance.now();
}

/** Milliseconds between the frames of so many seconds. */
export function recordFrames(seconds: number): Promise<number[]> {
  return new Promise((resolve) => {
    const intervals: number[] = [];
    let first: number | undefined;
    let before = 0;
    const frame = (time: number): void => {
      if (first === undefined) first = time;
      else intervals.push(time - before);
      before = time;
      if (time - first >= 1000 * seconds) resolve(intervals);
      else requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
  });
}

/** Turns the wheel over an element at every frame, wider for a second and a half and closer again, until 'stop-zooming'. */
export function zoomStage(stage: Element): void {
  let running = true;
  let frames = 0;
  stage.addEventListener('stop-zooming', () => (running = false), { once: true });
  const box = stage.getBoundingClientRect();
  const turn = (): void => {
    if (!running) return;
    const wider = Math.floor(frames++ / 90) % 2 === 0;
    stage.dispatchEvent(
      new WheelEvent('wheel', {
        deltaY: wider ? 5 : -5,
        ctrlKey: true,
        clientX: box.left + box.width / 2,
        clientY: box.top + box.height / 2,
        bubbles: true,
        cancelable: true,
        composed: true,
      }),
    );
    requestAnimationFrame(turn);
  };
  requestAnimationFrame(turn);
}

/** Adds up in window.scrolled how many pixels the map is scrolled, up or down. */
export function watchScrolling(): void {
  const under = (root: ParentNode | null | undefined, name: string): ShadowRoot | null | undefined =>
    root?.querySelector(name)?.shadowRoot;
  const screen = under(under(document, 'bw-app'), 'bw-song-screen');
  const pane = under(screen, 'bw-map-workspace')?.querySelector('.map');
  if (!pane || 'scrolled' in window) return;
  let before = pane.scrollTop;
  const noted = Object.assign(window, { scrolled: 0 });
  pane.addEventListener('scroll', () => {
    noted.scrolled += Math.abs(pane.scrollTop - before);
    before = pane.scrollTop;
  });
}

/** Moves the page's one box at every frame. */
export function animate(): void {
  const box = document.querySelector('div');
  const move = (time: number): void => {
    if (box) box.style.transform = `translateX(${Math.round(200 + 200 * Math.sin(time / 300))}px)`;
    requestAnimationFrame(move);
  };
  requestAnimationFrame(move);
}

import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** Takes a file dropped anywhere on the page; `over` is true while one hovers, and the host then renders again. */
export class FileDropController implements ReactiveController {
  over = false;
  private depth = 0;

  constructor(
    private readonly host: ReactiveControllerHost,
    private readonly take: (file: File) => Promise<void>,
  ) {
    host.addController(this);
  }

  hostConnected(): void {
    for (const [type, listener] of this.listeners) window.addEventListener(type, listener);
  }

  hostDisconnected(): void {
    for (const [type, listener] of this.listeners) window.removeEventListener(type, listener);
  }

  private readonly enter = (event: DragEvent): void => {
    if (!carriesFiles(event)) return;
    event.preventDefault();
    this.depth += 1;
    this.show(true);
  };

  private readonly leave = (event: DragEvent): void => {
    if (!carriesFiles(event)) return;
    this.depth = Math.max(0, this.depth - 1);
    if (this.depth === 0) this.show(false);
  };

  private readonly hover = (event: DragEvent): void => {
    if (!carriesFiles(event)) return;
    event.preventDefault();
    if (event.dataTransfer) event.dataTransfer.dropEffect = 'copy';
  };

  private readonly dropped = (event: DragEvent): void => {
    if (!carriesFiles(event)) return;
    event.preventDefault();
    this.depth = 0;
    this.show(false);
    const file = event.dataTransfer?.files[0];
    if (file) void this.take(file);
  };

  private readonly listeners = [
    ['dragenter', this.enter],
    ['dragleave', this.leave],
    ['dragover', this.hover],
    ['drop', this.dropped],
  ] as const;

  private show(over: boolean): void {
    if (over === this.over) return;
    this.over = over;
    this.host.requestUpdate();
  }
}

function carriesFiles(event: DragEvent): boolean {
  return event.dataTransfer?.types.includes('Files') ?? false;
}

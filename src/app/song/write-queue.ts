/**
 * Writes one after another, in the order they were made; after a failure the rest waits, so that storage never holds
 * a later state without the earlier one. `retry` goes on from the one that failed.
 */
export class WriteQueue {
  private readonly waiting: (() => Promise<void>)[] = [];
  private running: Promise<void> = Promise.resolve();
  private isRunning = false;
  private failed = false;

  /** `changed` is told of every change of `state`, with the reason when it is 'failed'. */
  constructor(private readonly changed: (state: WriteState, reason?: unknown) => void) {}

  get state(): WriteState {
    if (this.failed) return 'failed';
    return this.waiting.length > 0 ? 'saving' : 'saved';
  }

  /** Resolves when the write is done, or when it or one before it has failed; never rejects. */
  async add(write: () => Promise<void>): Promise<void> {
    this.waiting.push(write);
    if (this.failed) return this.retry();
    this.changed('saving');
    await this.run();
  }

  async retry(): Promise<void> {
    this.failed = false;
    this.changed(this.state);
    await this.run();
  }

  /** Resolves when nothing more is being written. */
  async idle(): Promise<void> {
    await this.running;
  }

  private run(): Promise<void> {
    if (!this.isRunning) {
      this.isRunning = true;
      this.running = this.drain();
    }
    return this.running;
  }

  private async drain(): Promise<void> {
    for (;;) {
      const write = this.waiting[0];
      if (!write) break;
      try {
        await write();
      } catch (error) {
        // Over before anybody hears of it: whoever tries again at once begins a new run.
        this.isRunning = false;
        this.failed = true;
        this.changed('failed', error);
        return;
      }
      this.waiting.shift();
    }
    this.isRunning = false;
    this.changed('saved');
  }
}

export type WriteState = 'saved' | 'saving' | 'failed';

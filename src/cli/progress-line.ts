import type { WriteStream } from 'node:tty';

/** One line that rewrites itself on a terminal; silent elsewhere, so that logs and pipes stay clean. */
export function progressLine(
  stream: WriteStream,
  wanted: boolean,
): { show(text: string, done: number): void; clear(): void } {
  if (!wanted || !stream.isTTY) return { show: () => undefined, clear: () => undefined };
  let shown = '';
  return {
    show(text, done) {
      const line = `${text} ${Math.round(done * 100)} %`;
      if (line === shown) return;
      shown = line;
      stream.write(`\r\u001b[K${line.slice(0, Math.max(20, stream.columns - 1))}`);
    },
    clear() {
      if (shown) stream.write('\r\u001b[K');
      shown = '';
    },
  };
}

import { expect, it } from 'vitest';
import { WriteQueue, type WriteState } from '../../../src/app/song/write-queue.js';

it('goes on when it is tried again the moment a write has failed, in the order of the writes', async () => {
  const states: WriteState[] = [];
  const written: string[] = [];
  let full = true;
  const queue: WriteQueue = new WriteQueue((state) => {
    states.push(state);
    if (state !== 'failed') return;
    full = false;
    void queue.retry();
  });
  const write = (name: string) => async (): Promise<void> => {
    if (full) throw new Error('no room');
    written.push(name);
  };
  await Promise.all([queue.add(write('first')), queue.add(write('second'))]);
  await queue.idle();
  expect(written).toEqual(['first', 'second']);
  expect(queue.state).toBe('saved');
  expect(states.at(-1)).toBe('saved');
});

it('goes on when another write comes the moment one has failed', async () => {
  const written: number[] = [];
  let full = true;
  const queue: WriteQueue = new WriteQueue((state) => {
    if (state !== 'failed' || !full) return;
    full = false;
    void queue.add(async () => void written.push(2));
  });
  await queue.add(async () => {
    if (full) throw new Error('no room');
    written.push(1);
  });
  await queue.idle();
  expect(written).toEqual([1, 2]);
});

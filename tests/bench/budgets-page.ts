/** What the budgets benchmark does inside the page: each function is sent there whole and may use nothing outside itself. */

/** Stores so many copies of the one song there is, without its recording, each under a name of its own. */
export async function copySong(copies: number): Promise<void> {
  const asked = <T>(request: IDBRequest<T>): Promise<T> =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(new Error(String(request.error)));
    });
  const db = await asked(indexedDB.open('barwright'));
  const names = ['songs', 'steps', 'evidence', 'peaks'];
  const read = db.transaction(names);
  const rows = await Promise.all(
    names.map(async (name) => {
      const store = read.objectStore(name);
      const [keys, values] = await Promise.all([asked(store.getAllKeys()), asked(store.getAll())]);
      return { name, rows: keys.map((key, i) => ({ key, value: values[i] as unknown })) };
    }),
  );
  const write = db.transaction(names, 'readwrite');
  for (let copy = 1; copy <= copies; copy++) {
    for (const { name, rows: own } of rows) {
      for (const { key, value } of own) {
        const id = (old: unknown): string => `${String(old)}-${copy}`;
        const next = Array.isArray(key) ? [id(key[0]), ...(key.slice(1) as IDBValidKey[])] : id(key);
        const row = value as { summary?: { id: string; title: string } };
        const made = row.summary
          ? { ...row, summary: { ...row.summary, id: id(row.summary.id), title: `Song ${copy}`, hasAudio: false } }
          : row;
        write.objectStore(name).put(made, next);
      }
    }
  }
  await new Promise((resolve, reject) => {
    write.oncomplete = resolve;
    write.onerror = reject;
  });
  db.close();
}

/** Milliseconds from the beginning of the page's load to the frame that shows so many songs. */
export function whenListed(count: number): Promise<number> {
  return new Promise((resolve) => {
    const look = (): void => {
      const app = document.querySelector('bw-app');
      const start = app?.shadowRoot?.querySelector('bw-start-page');
      const list = start?.shadowRoot?.querySelector('bw-song-library');
      const shown = list?.shadowRoot?.querySelectorAll('li').length ?? 0;
      if (shown >= count) requestAnimationFrame((time) => resolve(time));
      else requestAnimationFrame(look);
    };
    look();
  });
}

interface Solved {
  readonly map: { readonly spans: readonly { readonly start: number; readonly kind: string }[] };
  readonly solving: boolean;
}

/** Gives bars all over the song another length by the digit keys; milliseconds from each key to the frame after its map is there. */
export async function keyEdits(edits: number): Promise<number[]> {
  const { session } = document.querySelector('bw-app') as unknown as {
    session: { song: { readonly value: Solved }; view: { cursor: { value: number } } };
  };
  const frame = (): Promise<number> => new Promise((next) => requestAnimationFrame(next));
  const took: number[] = [];
  for (let n = 0; took.length < edits && n < 2 * edits; n++) {
    const before = session.song.value.map;
    const bars = before.spans.filter(({ kind }) => kind === 'bar');
    const place = Math.floor(bars.length * ((0.1 + n * 0.618) % 1));
    session.view.cursor.value = (bars[place]?.start ?? 0) + 0.01;
    for (let wait = 0; wait < 20; wait++) await frame();
    const digit = n % 2 === 0 ? '3' : '5';
    const from = performance.now();
    const press = { key: digit, code: `Digit${digit}`, bubbles: true, composed: true, cancelable: true };
    document.body.dispatchEvent(new KeyboardEvent('keydown', press));
    let changed = false;
    while (!changed && performance.now() - from < 3000) {
      await frame();
      changed = session.song.value.map !== before && !session.song.value.solving;
    }
    if (changed) took.push(performance.now() - from);
  }
  return took;
}

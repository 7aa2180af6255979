import { msg, str } from '@lit/localize';

/** Something that storage could not do. The message is for the user: what was found and what to do. */
export class StorageProblem extends Error {
  constructor(
    readonly kind: 'full' | 'missing' | 'exists' | 'newer' | 'blocked' | 'failed',
    message: string,
  ) {
    super(message);
    this.name = 'StorageProblem';
  }
}

/** The StorageProblem that says in words what went wrong while doing `what` ("keep the edit"). */
export function storageProblem(error: unknown, what: string): StorageProblem {
  if (error instanceof StorageProblem) return error;
  // Some rejections wrap the reason: an aborted transaction carries none, a failed request carries its own.
  const name = nameOf(error);
  if (name === 'QuotaExceededError') {
    return new StorageProblem(
      'full',
      msg(
        str`There is no room left to ${what}: the browser allows this page no more space on the disk. Save the song as a project file, then delete songs you no longer need, or free space on the disk.`,
      ),
    );
  }
  if (name === 'VersionError') {
    return new StorageProblem(
      'newer',
      msg(
        'Your songs were last kept by a newer version of this program. Reload the page to get that version; nothing was changed.',
      ),
    );
  }
  const found = error instanceof Error && error.message ? error.message : name || msg('no reason given');
  return new StorageProblem(
    'failed',
    msg(
      str`The browser could not ${what} (${found}). Save the song as a project file, so that it is safe, and reload the page.`,
    ),
  );
}

export function missingSong(id: string): StorageProblem {
  return new StorageProblem(
    'missing',
    msg(
      str`This song is no longer in the library (${id}); it may have been deleted in another window. Choose another one, or open its recording again.`,
    ),
  );
}

export function songExists(id: string): StorageProblem {
  return new StorageProblem('exists', msg(str`A song is already kept under ${id}; nothing was changed.`));
}

function nameOf(error: unknown): string {
  return typeof error === 'object' && error !== null && 'name' in error ? String(error.name) : '';
}

import { msg, str } from '@lit/localize';
import type { FilesPort } from '../../app/kit/ports.js';
import { StorageProblem } from './problem.js';

/** How long a handed-over file stays readable, in milliseconds: a browser may ask the user first where to put it. */
const KEPT_FOR = 5 * 60_000;

/** Files from and to the user's machine, and the bundled recordings beside the page. */
export function browserFiles(): FilesPort {
  return { save, pick, sample, speech };
}

function save(name: string, data: Blob): void {
  const link = document.createElement('a');
  const url = URL.createObjectURL(data);
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), KEPT_FOR);
}

function pick(accept: string): Promise<File | undefined> {
  return new Promise((resolve) => {
    const input = document.createElement('input');
    input.type = 'file';
    input.accept = accept;
    input.addEventListener('change', () => resolve(input.files?.[0]), { once: true });
    input.addEventListener('cancel', () => resolve(undefined), { once: true });
    input.click();
  });
}

function sample(name: string): Promise<File> {
  return bundled(
    `samples/${encodeURIComponent(name)}`,
    name,
    msg(str`The bundled recording "${name}" could not be read. Reload the page, or open a recording of your own.`),
  );
}

function speech(): Promise<File> {
  return bundled(
    'speech/words.ogg',
    'words.ogg',
    msg('The spoken words could not be read. Reload the page to hear them.'),
  );
}

async function bundled(path: string, name: string, problem: string): Promise<File> {
  const url = new URL(path, document.baseURI);
  const response = await fetch(url).catch(() => undefined);
  if (!response?.ok) throw new StorageProblem('missing', problem);
  return new File([await response.blob()], name, { type: response.headers.get('content-type') ?? '' });
}

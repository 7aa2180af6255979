import { deflateSync, strToU8, Zip, ZipPassThrough } from 'fflate';
import type { Evidence } from '../analysis/evidence/evidence.js';
import { crc32 } from './crc32.js';
import {
  DOCUMENT_FILE,
  PROJECT_FORMAT,
  PROJECT_VERSION,
  type DocumentStep,
  type EvidenceEntry,
  type FileEntry,
  type Project,
  type ProjectDocument,
} from './project.js';

/**
 * The project as a file, in pieces to be joined (`new Blob(pieces)`): the recording is one of them, not copied.
 * The same project gives the same bytes.
 */
export function writeProject(project: Project): Uint8Array<ArrayBuffer>[] {
  const files: { name: string; bytes: Uint8Array }[] = [];
  const add = (name: string, bytes: Uint8Array): FileEntry => {
    files.push({ name, bytes });
    return { file: name, length: bytes.length, crc: crc32(bytes) };
  };
  const evidence: EvidenceEntry[] = [];
  const addEvidence = ({ tracks, ...facts }: Evidence): number => {
    const place = evidence.length;
    const entries = Object.entries(tracks).map(([name, { rate, width, data }]) => {
      return [name, { rate, width, ...add(`evidence/${place}/${name}.bin`, data) }] as const;
    });
    return evidence.push({ ...facts, tracks: Object.fromEntries(entries) }) - 1;
  };
  if (project.evidence) addEvidence(project.evidence);
  const steps = project.history?.steps.map(({ evidence: own, ...step }): DocumentStep => {
    return own ? { ...step, evidence: addEvidence(own) } : step;
  });
  const { peaks, print, recording } = project;
  const outline = peaks && {
    rate: peaks.rate,
    ...add('peaks.bin', new Uint8Array(peaks.data.buffer, peaks.data.byteOffset, peaks.data.byteLength)),
  };
  const document: ProjectDocument = {
    format: PROJECT_FORMAT,
    version: PROJECT_VERSION,
    map: project.map,
    ...(project.history && steps ? { history: { place: project.history.place, steps } } : {}),
    ...(evidence.length > 0 ? { evidence } : {}),
    ...(outline ? { peaks: outline } : {}),
    ...(print ? { fingerprint: { duration: print.duration, ...add('fingerprint.bin', wordBytes(print.words)) } } : {}),
    ...(recording ? { recording: { name: recording.name, file: recordingEntry(recording.name) } } : {}),
  };
  return archive([
    { name: DOCUMENT_FILE, bytes: strToU8(JSON.stringify(document)), packed: true },
    ...files.map((file) => ({ ...file, packed: true })),
    // Recordings are compressed already, or better left as they are.
    ...(recording ? [{ name: recordingEntry(recording.name), bytes: recording.bytes, packed: false }] : []),
  ]);
}

function wordBytes(words: Uint32Array): Uint8Array {
  const view = new DataView(new ArrayBuffer(4 * words.length));
  words.forEach((word, i) => view.setUint32(4 * i, word, true));
  return new Uint8Array(view.buffer);
}

/** A name that any system can unpack. */
function recordingEntry(name: string): string {
  return `recording/${
    name
      .replace(/[^A-Za-z0-9._-]+/g, '_')
      .replace(/^\.+/, '')
      .slice(-80) || 'recording'
  }`;
}

function archive(entries: readonly { name: string; bytes: Uint8Array; packed: boolean }[]): Uint8Array<ArrayBuffer>[] {
  const pieces: Uint8Array<ArrayBuffer>[] = [];
  const zip = new Zip((error, piece) => {
    if (error) throw error;
    pieces.push(piece as Uint8Array<ArrayBuffer>);
  });
  for (const { name, bytes, packed } of entries) {
    const entry = packed ? new PackedEntry(name) : new ZipPassThrough(name);
    // A fixed date, in the zone that the archive takes dates in, so that nothing depends on the clock.
    entry.mtime = new Date(2020, 0, 1);
    zip.add(entry);
    entry.push(bytes, true);
  }
  zip.end();
  return pieces;
}

/** Compression method 8 of APPNOTE.TXT, "deflated". */
const DEFLATED = 8;

/**
 * An entry packed in one go: the library's packing in pieces (0.8.3) now and then writes a reference to before the
 * beginning when zeros are followed by something else, and the entry can then not be unpacked.
 */
class PackedEntry extends ZipPassThrough {
  override compression = DEFLATED;

  protected override process(bytes: Uint8Array<ArrayBuffer>, final: boolean): void {
    this.ondata(null, deflateSync(bytes, { level: 6 }), final);
  }
}

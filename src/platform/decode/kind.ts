import { msg } from '@lit/localize';
import { findMpeg } from '../../dsp/mpeg-header.js';
import { ascii } from './source.js';

/** What a file is, told by its bytes alone; its name may lie. */
export type Kind =
  | { readonly sound: 'wave' | 'aiff' | 'mpeg' | 'adts' | 'flac' | 'ogg' | 'mp4' | 'matroska' }
  /** `what`: with its article, "a PDF document". `audio`: it is sound, of a kind that is not read here. */
  | { readonly other: string; readonly audio: boolean };

/** Signatures at the start of files people take for recordings; from the formats' own specifications. */
const otherKinds = (): readonly (readonly [signature: string, what: string, audio?: true])[] => [
  ['MThd', msg('a MIDI file, which holds notes and no sound')],
  ['%PDF', msg('a PDF document')],
  ['PK\x03\x04', msg('a ZIP archive (or a document packed as one)')],
  ['Rar!', msg('a RAR archive')],
  ['7z\xbc\xaf', msg('a 7-Zip archive')],
  ['\x1f\x8b', msg('a compressed archive')],
  ['\x89PNG', msg('a PNG picture')],
  ['\xff\xd8\xff', msg('a JPEG picture')],
  ['GIF8', msg('a GIF picture')],
  ['BM', msg('a bitmap picture')],
  ['II*\0', msg('a TIFF picture')],
  ['MM\0*', msg('a TIFF picture')],
  ['\x7fELF', msg('a program')],
  ['MZ', msg('a program')],
  ['\xd0\xcf\x11\xe0', msg('an office document')],
  ['SQLite format 3', msg('a database')],
  ['caff', msg('a Core Audio file'), true],
  ['wvpk', msg('a WavPack file'), true],
  ['MAC ', msg("a Monkey's Audio file"), true],
  ['TTA1', msg('a True Audio file'), true],
  ['#!AMR', msg('an AMR voice recording'), true],
  ['.snd', msg('an AU file'), true],
  ['DSD ', msg('a DSD file'), true],
  ['FRM8', msg('a DSD file'), true],
  ['\x30\x26\xb2\x75\x8e\x66\xcf\x11', msg('a Windows Media file'), true],
  ['.RMF', msg('a RealMedia file'), true],
  ['FLV\x01', msg('a Flash video'), true],
  ['\0\0\x01\xba', msg('an MPEG program stream (video)'), true],
  ['ADIF', msg('an AAC file of the ADIF kind'), true],
];

/**
 * Tells what a file is. `head`: its first bytes after any ID3v2 tag, 64 kB or more where there are so many; `complete`:
 * that is the whole file.
 */
export function kindOf(head: Uint8Array, complete: boolean): Kind {
  const four = ascii(head, 0, 4);
  const type = ascii(head, 8, 4);
  if (four === 'RIFF' || four === 'RIFX' || four === 'RF64' || four === 'BW64') {
    if (type === 'WAVE') return { sound: 'wave' };
    const known: Readonly<Record<string, string>> = {
      'AVI ': msg('an AVI video'),
      WEBP: msg('a WebP picture'),
      RMID: msg('a MIDI file, which holds notes and no sound'),
    };
    return { other: known[type] ?? msg('a RIFF file without sound'), audio: type === 'AVI ' };
  }
  if (four === 'FORM' && (type === 'AIFF' || type === 'AIFC')) return { sound: 'aiff' };
  if (four === 'fLaC') return { sound: 'flac' };
  if (four === 'OggS') return { sound: 'ogg' };
  if (four === '\x1a\x45\xdf\xa3') return { sound: 'matroska' };
  if (['ftyp', 'moov', 'moof', 'mdat', 'wide', 'styp'].includes(ascii(head, 4, 4))) {
    if (/^(heic|heix|mif1|msf1|avif)$/.test(type)) return { other: msg('a picture'), audio: false };
    return { sound: 'mp4' };
  }
  if (isAdts(head)) return { sound: 'adts' };
  for (const [signature, what, audio] of otherKinds())
    if (ascii(head, 0, signature.length) === signature) return { other: what, audio: audio === true };
  if (isText(head)) return { other: textKind(head), audio: false };
  if (findMpeg(head, complete) !== undefined) return { sound: 'mpeg' };
  if (head.every((byte) => byte === 0))
    return { other: msg('a file of nothing but zeros (a download or copy that did not finish)'), audio: false };
  return { other: msg('a file of an unknown kind'), audio: false };
}

/** Three AAC frames in a row with ADTS headers (ISO/IEC 13818-7, 6.2), or all there are. */
function isAdts(head: Uint8Array): boolean {
  let at = 0;
  let frames = 0;
  while (frames < 3 && at + 7 <= head.length) {
    if (head[at] !== 0xff || (head[at + 1]! & 0xf6) !== 0xf0) return false;
    const size = ((head[at + 3]! & 3) << 11) | (head[at + 4]! << 3) | (head[at + 5]! >> 5);
    if (size < 7) return false;
    at += size;
    frames++;
  }
  return frames > 0;
}

/** No control characters but white space in the first kilobytes, and not only high bytes. */
function isText(head: Uint8Array): boolean {
  const start = head.subarray(0, 4096);
  const plain = start.filter((byte) => byte >= 0x20 && byte < 0x7f).length;
  return start.every((byte) => byte >= 0x20 || (byte >= 9 && byte <= 13)) && plain > start.length / 2;
}

function textKind(head: Uint8Array): string {
  const start = ascii(head, 0, Math.min(head.length, 256)).trimStart().toLowerCase();
  if (start.startsWith('<!doctype html') || start.startsWith('<html')) return msg('a web page');
  return msg('a text file');
}

/** Length in bytes of the ID3v2 tag at the start of `head` (ID3v2.4 structure, 3.1), 0 when there is none. */
export function id3Length(head: Uint8Array): number {
  if (head.length < 10 || ascii(head, 0, 3) !== 'ID3') return 0;
  const digits = head.subarray(6, 10);
  if (digits.some((digit) => digit > 127)) return 0;
  const size = digits.reduce((sum, digit) => sum * 128 + digit, 0);
  return 10 + size + (head[5]! & 0x10 ? 10 : 0);
}

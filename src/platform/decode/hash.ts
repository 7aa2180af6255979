import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import type { Hasher } from './decode-sound.js';

/** SHA-256 piece by piece; the browser's own wants the whole file in memory. */
export function pieceHasher(): Hasher {
  const hash = sha256.create();
  return { update: (bytes) => void hash.update(bytes), hex: () => bytesToHex(hash.digest()) };
}

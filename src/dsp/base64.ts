const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** Bytes of a text in Base64 (RFC 4648): the audio thread, unlike every other place, has no `atob`. */
export function decodeBase64(text: string): Uint8Array {
  const digits = text.replace(/=+$/, '');
  const bytes = new Uint8Array(Math.floor((digits.length * 3) / 4));
  let bits = 0;
  let held = 0;
  let at = 0;
  for (const digit of digits) {
    bits = ((bits << 6) | DIGITS.indexOf(digit)) & 0xffffff;
    held += 6;
    if (held >= 8) {
      held -= 8;
      bytes[at++] = (bits >> held) & 0xff;
    }
  }
  return bytes;
}

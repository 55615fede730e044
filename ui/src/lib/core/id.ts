// New ids of things: 128 random bits as 26 lower-case base32 characters (RFC 4648 alphabet, no padding).

const LETTERS = 'abcdefghijklmnopqrstuvwxyz234567';

export function newId(bytes: Uint8Array = crypto.getRandomValues(new Uint8Array(16))): string {
  let text = '';
  let held = 0;
  let bits = 0;
  for (const byte of bytes) {
    held = ((held << 8) | byte) & 0xfff;
    bits += 8;
    while (bits >= 5) {
      bits -= 5;
      text += LETTERS[(held >> bits) & 31];
    }
  }
  return bits > 0 ? text + LETTERS[(held << (5 - bits)) & 31] : text;
}

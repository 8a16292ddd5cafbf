// SHA-256 (FIPS 180-4) of bytes, as hexadecimal digits. Our own, because crypto.subtle
// is missing in a page that is opened from the disk or by plain http.
"use strict";

const PRIMES = [];
for (let n = 2; PRIMES.length < 64; n += 1) {
  if (PRIMES.every((prime) => n % prime)) PRIMES.push(n);
}

// The first 32 bits of the fractional part.
function fraction(root) {
  return ((root - Math.floor(root)) * 2 ** 32) | 0;
}

const START = PRIMES.slice(0, 8).map((prime) => fraction(Math.sqrt(prime)));
const ROUND = PRIMES.map((prime) => fraction(Math.cbrt(prime)));

function right(word, bits) {
  return (word >>> bits) | (word << (32 - bits));
}

function padded(bytes) {
  const size = Math.ceil((bytes.length + 9) / 64) * 64;
  const whole = new Uint8Array(size);
  whole.set(bytes);
  whole[bytes.length] = 0x80;
  const view = new DataView(whole.buffer);
  view.setUint32(size - 8, Math.floor(bytes.length / 2 ** 29));
  view.setUint32(size - 4, (bytes.length * 8) >>> 0);
  return view;
}

function block(hash, view, from, w) {
  for (let t = 0; t < 64; t += 1) {
    if (t < 16) {
      w[t] = view.getInt32(from + 4 * t);
    } else {
      const [x, y] = [w[t - 15], w[t - 2]];
      const s0 = right(x, 7) ^ right(x, 18) ^ (x >>> 3);
      const s1 = right(y, 17) ^ right(y, 19) ^ (y >>> 10);
      w[t] = w[t - 16] + s0 + w[t - 7] + s1;
    }
  }
  let [a, b, c, d, e, f, g, h] = hash;
  for (let t = 0; t < 64; t += 1) {
    const sum1 = right(e, 6) ^ right(e, 11) ^ right(e, 25);
    const sum0 = right(a, 2) ^ right(a, 13) ^ right(a, 22);
    const one = (h + sum1 + ((e & f) ^ (~e & g)) + ROUND[t] + w[t]) | 0;
    const two = (sum0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
  }
  [a, b, c, d, e, f, g, h].forEach((word, i) => {
    hash[i] = (hash[i] + word) | 0;
  });
}

window.sha256 = (bytes) => {
  const view = padded(bytes);
  const hash = [...START];
  const w = new Int32Array(64);
  for (let from = 0; from < view.byteLength; from += 64) block(hash, view, from, w);
  return hash.map((word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
};

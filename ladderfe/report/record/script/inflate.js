// Unpacks raw DEFLATE (RFC 1951), so that data are small in the file and every browser can read them.

const LENGTHS = [3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 15, 17, 19, 23, 27, 31, 35, 43, 51, 59, 67, 83, 99, 115, 131, 163, 195, 227, 258];
const DISTANCES = [1, 2, 3, 4, 5, 7, 9, 13, 17, 25, 33, 49, 65, 97, 129, 193, 257, 385, 513, 769, 1025, 1537, 2049, 3073, 4097, 6145, 8193, 12289, 16385, 24577];
const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];

/** Code of Huffman by the lengths of its words: how many of each length, and the symbols in order (section 3.2.2). */
function codeOf(lengths) {
  const count = new Uint16Array(16);
  lengths.forEach((n) => { count[n] += 1; });
  count[0] = 0;
  const next = new Uint16Array(16);
  for (let k = 1; k < 16; k += 1) next[k] = next[k - 1] + count[k - 1];
  const symbols = new Uint16Array(lengths.length);
  lengths.forEach((n, s) => { if (n) { symbols[next[n]] = s; next[n] += 1; } });
  return { count, symbols };
}

function inflate(data) {
  let [at, held, bits] = [0, 0, 0];
  let out = new Uint8Array(data.length * 8);
  let size = 0;
  const take = (n) => {
    while (bits < n) { held |= data[at] << bits; at += 1; bits += 8; }
    const value = held & ((1 << n) - 1);
    held >>>= n;
    bits -= n;
    return value;
  };
  const symbol = ({ count, symbols }) => {
    let [code, first, index] = [0, 0, 0];
    for (let n = 1; n < 16; n += 1) {
      code |= take(1);
      if (code - first < count[n]) return symbols[index + code - first];
      index += count[n];
      first = (first + count[n]) << 1;
      code <<= 1;
    }
    throw new Error("data of this page are damaged");
  };
  const put = (value) => {
    if (size === out.length) { const wider = new Uint8Array(2 * size); wider.set(out); out = wider; }
    out[size] = value;
    size += 1;
  };
  const fixed = () => [
    codeOf(Array.from({ length: 288 }, (_, k) => (k < 144 ? 8 : k < 256 ? 9 : k < 280 ? 7 : 8))), codeOf(Array(30).fill(5)),
  ];
  const told = () => {
    const [words, far, own] = [take(5) + 257, take(5) + 1, take(4) + 4];
    const lengths = Array(19).fill(0);
    for (let k = 0; k < own; k += 1) lengths[ORDER[k]] = take(3);
    const code = codeOf(lengths);
    const all = [];
    while (all.length < words + far) {
      const s = symbol(code);
      if (s < 16) all.push(s);
      else if (s === 16) all.push(...Array(3 + take(2)).fill(all[all.length - 1]));
      else all.push(...Array(s === 17 ? 3 + take(3) : 11 + take(7)).fill(0));
    }
    return [codeOf(all.slice(0, words)), codeOf(all.slice(words))];
  };
  for (let last = 0; !last;) {
    last = take(1);
    const kind = take(2);
    if (kind === 0) {
      [held, bits] = [0, 0];
      const n = data[at] | (data[at + 1] << 8);
      at += 4;
      for (let k = 0; k < n; k += 1) put(data[at + k]);
      at += n;
      continue;
    }
    const [words, far] = kind === 1 ? fixed() : told();
    for (let s = symbol(words); s !== 256; s = symbol(words)) {
      if (s < 256) { put(s); continue; }
      const k = s - 257;
      const length = LENGTHS[k] + (k < 8 || k === 28 ? 0 : take((k >> 2) - 1));
      const d = symbol(far);
      const back = DISTANCES[d] + (d < 4 ? 0 : take((d >> 1) - 1));
      for (let j = 0; j < length; j += 1) put(out[size - back]);
    }
  }
  return out.slice(0, size);
}

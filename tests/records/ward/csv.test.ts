import fc from 'fast-check';
import { expect, test } from 'vitest';
import { csv } from '../../../src/records/ward/csv';

/** By the grammar of RFC 4180, section 2, and nothing more: throws where a text does not follow it. */
function parse(text: string): string[][] {
  const field = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n|$)/y;
  const rows: string[][] = [];
  let row: string[] = [];
  while (field.lastIndex < text.length) {
    const at = field.lastIndex;
    const found = field.exec(text);
    if (!found) throw new Error(`no field at ${at} of ${JSON.stringify(text)}`);
    row.push(found[1] === undefined ? found[2]! : found[1].replaceAll('""', '"'));
    if (found[3] === ',') continue;
    rows.push(row);
    row = [];
  }
  return rows;
}

test('it is written as RFC 4180 has it', () => {
  // The examples of section 2 of the RFC, rules 1, 5, 6 and 7.
  expect(csv(['aaa', 'bbb', 'ccc'], [['zzz', 'yyy', 'xxx']])).toBe('aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n');
  expect(csv(['aaa', 'b\r\nbb', 'ccc'], [])).toBe('aaa,"b\r\nbb",ccc\r\n');
  expect(csv(['aaa', 'b"bb', 'ccc'], [])).toBe('aaa,"b""bb",ccc\r\n');
  expect(csv(['a, b'], [[7], [null], [-0.5]])).toBe('"a, b"\r\n7\r\n\r\n-0.5\r\n');
});

test('a cell that a spreadsheet would take for a formula is text', () => {
  for (const cell of ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', '＝1'])
    expect(parse(csv(['a'], [[cell]]))[1]).toEqual([`'${cell}`]);
  expect(csv(['a'], [['1=1'], ["it's"]])).toBe("a\r\n1=1\r\nit's\r\n");
});

test('whatever stands in it comes back cell by cell', () => {
  const cell = fc.oneof(
    fc.string(),
    fc.constantFrom('"', ',', '\r\n', '\n', 'a"",b', 'é, “x”'),
    fc.integer(),
  );
  const table = fc
    .integer({ min: 2, max: 5 })
    .chain((columns) =>
      fc.array(fc.array(cell, { minLength: columns, maxLength: columns }), { minLength: 1, maxLength: 6 }),
    );
  fc.assert(
    fc.property(table, (rows) => {
      const back = parse(csv(rows[0]!.map(String), rows.slice(1)));
      const guarded = rows.map((row, index) =>
        row.map((one) => {
          const text = String(one);
          const number = typeof one === 'number' && index > 0;
          return !number && /^[=+\-@\t\r\n＝＋－＠]/.test(text) ? `'${text}` : text;
        }),
      );
      expect(back).toEqual(guarded);
    }),
  );
});

import { spawnSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { scoreLine } from '../../src/commands/score';

const line = (text: string, number = 1) => {
  const result = scoreLine(text, number);
  return result ? { ...result, output: JSON.parse(result.output) } : null;
};
const good = { id: 'a', module: 'inhaler-spacer', step: 'puff', language: 'en', text: 'I press it once' };

describe('npm run score', () => {
  it('gives a label, a confidence and the words for every concept of the step', () => {
    const { output } = line(JSON.stringify(good))!;
    expect(Object.keys(output.findings)).toHaveLength(5);
    expect(output.findings['inhaler-spacer.puff.press']).toMatchObject({
      label: 'understood',
      evidence: 'press ... once',
    });
    expect(output.findings['inhaler-spacer.puff.hold']).toMatchObject({
      label: 'missed',
      missing: 'how-long',
    });
  });

  it('judges a line that brings its own concepts from those alone', () => {
    const { output } = line(
      JSON.stringify({
        id: 'b',
        text: 'I feed the cat twice',
        concepts: [{ id: 'cat', says: 'Feed the cat twice.', accept: ['the cat gets food twice'] }],
      }),
    )!;
    expect(output).toEqual({ id: 'b', findings: { cat: expect.objectContaining({ label: 'understood' }) } });
  });

  it.each([
    ['no JSON', 'nope', /line 7: not JSON/],
    ['no text', JSON.stringify({ ...good, text: undefined }), /"text" is missing/],
    ['an unknown module', JSON.stringify({ ...good, module: 'toaster' }), /toaster.*does not exist/s],
    ['an unknown step', JSON.stringify({ ...good, step: 'dance' }), /no step "dance"; it has .*puff/],
    [
      'a language that cannot be judged',
      JSON.stringify({ ...good, language: 'xx' }),
      /"xx" cannot be judged/,
    ],
    ['a path for a module', JSON.stringify({ ...good, module: '../common' }), /does not exist/],
    ['an array', '[1]', /line 7/],
    ['a huge line', JSON.stringify({ ...good, text: 'a'.repeat(2_000_000) }), /longer than/],
  ])('answers a line with %s by an error that names the line', (_, text, message) => {
    const result = line(text, 7)!;
    expect(result.good).toBe(false);
    expect(result.output.error).toMatch(message);
  });

  it('keeps the id of a bad line', () => {
    expect(line(JSON.stringify({ ...good, step: 'dance' }))!.output.id).toBe('a');
  });

  it('passes over empty lines, a byte order mark and carriage returns', () => {
    expect(line('  \r')).toBeNull();
    expect(line(`\uFEFF${JSON.stringify(good)}\r`)!.good).toBe(true);
  });

  it('answers all good lines and ends with status 1 after a bad one', () => {
    const input = `\uFEFF${JSON.stringify(good)}\r\n\r\nnope\r\n${JSON.stringify({ ...good, id: 'c' })}`;
    const run = spawnSync(process.execPath, ['--import', 'tsx', 'src/commands/score.ts'], {
      input,
      encoding: 'utf8',
    });
    const lines = run.stdout
      .trim()
      .split('\n')
      .map((text) => JSON.parse(text));
    expect(lines.map((item) => item.id)).toEqual(['a', undefined, 'c']);
    expect(lines[1].error).toMatch(/^line 3:/);
    expect(run.status).toBe(1);
  });
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type JudgingFile, judgingSchema } from '../../phrasebanks/judging';
import { PhrasebankError, parse } from '../../phrasebanks/parse';
import { readCommon, readJudging, readModule, readTeaching } from '../../phrasebanks/read';
import { commonSchema, moduleSchema, teachingSchema } from '../../phrasebanks/schema';
import { compileStep, type JudgeStep, judge, languagePack } from '../../src/scoring';
import { mutatedFile, mutatedRuns } from '../mutated';

const pack = languagePack('en')!;
const module = 'airway-clearance';

/** The same file with few entries, so that a change meets each kind of place. */
const short = <T extends object>(file: T): T =>
  JSON.parse(JSON.stringify(file), (_key, value) => {
    if (Array.isArray(value)) return value.slice(0, 4);
    return value;
  });
const judging = short(readJudging(module, 'en'));
const [first = ''] = Object.keys(judging.concepts);
const step = first.split('.').slice(0, 2).join('.');
judging.concepts = Object.fromEntries(
  Object.entries(judging.concepts).filter(([id]) => id.startsWith(`${step}.`)),
);

const answers = ['', 'I do not rinse it, no wait, I do. Twice a day?', 'a'.repeat(500)];
function judgesStill(file: JudgingFile): void {
  let compiled: JudgeStep;
  try {
    compiled = compileStep(file, Object.keys(file.concepts), pack);
  } catch (error) {
    // What only the whole can tell: something points at what is not there.
    expect((error as Error).message).toMatch(/^[\w-]*\/\w*\.judging\.json, \S.* there is no /);
    return;
  }
  for (const answer of answers)
    for (const finding of judge(answer, compiled, pack)) expect(finding.reason).not.toBe('');
}

const kinds = [
  ['module', moduleSchema, readModule(module), () => {}],
  ['teaching', teachingSchema, short(readTeaching(module, 'en')), () => {}],
  ['common', commonSchema, short(readCommon('en')), () => {}],
  ['judging', judgingSchema, judging, judgesStill],
] as const;

describe.each(kinds)('a %s file that was spoilt', (kind, schema, good, works) => {
  test('is refused with its name and the place, or can be used', () => {
    let refused = 0;
    fc.assert(
      fc.property(mutatedFile(good), (text) => {
        let file: unknown;
        try {
          file = parse(schema as typeof judgingSchema, `phrasebanks/x/${kind}.json`, text);
        } catch (error) {
          expect(error).toBeInstanceOf(PhrasebankError);
          expect((error as Error).message).toMatch(/^phrasebanks\/x\/\w+\.json cannot be used:\n {2}at \S/);
          expect((error as Error).message).not.toMatch(/undefined|\[object|Invalid input$/m);
          refused += 1;
          return;
        }
        works(file as JudgingFile);
      }),
      mutatedRuns(400),
    );
    expect(refused).toBeGreaterThan(50);
  });
});

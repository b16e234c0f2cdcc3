import { stdin, stdout } from 'node:process';
import { pathToFileURL } from 'node:url';
import * as z from 'zod/mini';
import type { JudgingFile } from '../../phrasebanks/judging';
import { readJudging } from '../../phrasebanks/read';
import { compileStep, draftConcepts, type Finding, type JudgeStep, judge, languagePack } from '../scoring';

/*
 * npm run -s score < answers.jsonl > findings.jsonl
 *
 * A line in:  {"id","module","step","language","text"}, or with its own "concepts":[{"id","says","accept"?}]
 * A line out: {"id","findings":{"<concept>":{"label","confidence","evidence","missing"?}}}, or {"id"?,"line","error"}
 * Every good line is answered. Exit status 1 when any line was bad.
 */

const text = z.string();
const line = z.object({
  id: z.union([text, z.number()]),
  module: z.optional(text),
  step: z.optional(text),
  language: z.optional(text),
  text,
  concepts: z.optional(
    z
      .array(
        z.object({
          id: text.check(z.minLength(1)),
          says: text.check(z.minLength(1)),
          accept: z.optional(z.array(text)),
        }),
      )
      .check(z.minLength(1)),
  ),
});

const longestLine = 1_000_000;

/** Files and steps, read and compiled once. */
const files = new Map<string, JudgingFile>();
const steps = new Map<string, JudgeStep>();

function stepOf(row: z.infer<typeof line>): JudgeStep {
  const language = row.language ?? 'en';
  const pack = languagePack(language);
  if (!pack) throw new Error(`language "${language}" cannot be judged`);
  if (row.concepts) return draftConcepts(row.concepts, pack);
  if (row.module === undefined || row.step === undefined)
    throw new Error('needs "module" and "step", or its own "concepts"');
  const key = JSON.stringify([row.module, row.step, pack.language]);
  const known = steps.get(key);
  if (known) return known;
  const name = JSON.stringify([row.module, pack.language]);
  const judging = files.get(name) ?? readJudging(row.module, pack.language);
  files.set(name, judging);
  const prefix = `${row.module}.${row.step}.`;
  const concepts = Object.keys(judging.concepts).filter((id) => id.startsWith(prefix));
  if (concepts.length === 0) {
    const has = [...new Set(Object.keys(judging.concepts).map((id) => id.split('.')[1]))].join(', ');
    throw new Error(`module "${row.module}" has no step "${row.step}"; it has ${has}`);
  }
  const step = compileStep(judging, concepts, pack);
  steps.set(key, step);
  return step;
}

const shown = (row: string, finding: Finding): [string, object] => [
  finding.concept,
  {
    label: finding.label,
    confidence: finding.confidence,
    evidence: finding.evidence.map(({ start, end }) => row.slice(start, end)).join(' ... '),
    ...(finding.missing ? { missing: finding.missing } : {}),
    ...(finding.contradiction ? { contradiction: finding.contradiction } : {}),
  },
];

/** One line -> one line, and whether it was good. `null` for an empty line. */
export function scoreLine(raw: string, number: number): { output: string; good: boolean } | null {
  const source = (number === 1 ? raw.replace(/^\uFEFF/, '') : raw).trim();
  if (source === '') return null;
  let id: unknown;
  try {
    if (source.length > longestLine) throw new Error(`longer than ${longestLine} characters`);
    let data: unknown;
    try {
      data = JSON.parse(source);
    } catch (error) {
      throw new Error(`not JSON: ${error instanceof Error ? error.message : String(error)}`);
    }
    id = typeof data === 'object' && data !== null && 'id' in data ? data.id : undefined;
    const row = z.safeParse(line, data);
    if (!row.success) {
      const issue = row.error.issues[0];
      const where = issue?.path.map(String).join('.') ?? '';
      throw new Error(`${where ? `"${where}"` : 'the line'} is missing or of the wrong type`);
    }
    const language = row.data.language ?? 'en';
    const pack = languagePack(language);
    const step = stepOf(row.data);
    if (!pack) throw new Error(`language "${language}" cannot be judged`);
    const findings = judge(row.data.text, step, pack);
    const byConcept = Object.fromEntries(findings.map((finding) => shown(row.data.text, finding)));
    return { output: JSON.stringify({ id: row.data.id, findings: byConcept }), good: true };
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    const known = typeof id === 'string' || typeof id === 'number' ? { id } : {};
    return {
      output: JSON.stringify({ ...known, line: number, error: `line ${number}: ${message}` }),
      good: false,
    };
  }
}

async function main(): Promise<void> {
  let number = 0;
  let bad = false;
  let rest = '';
  const take = (raw: string): void => {
    number++;
    const result = scoreLine(raw, number);
    if (!result) return;
    bad ||= !result.good;
    stdout.write(`${result.output}\n`);
  };
  stdin.setEncoding('utf8');
  for await (const chunk of stdin) {
    const lines = (rest + chunk).split('\n');
    rest = lines.pop() ?? '';
    for (const raw of lines) take(raw);
  }
  if (rest !== '') take(rest);
  if (bad) process.exitCode = 1;
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) await main();

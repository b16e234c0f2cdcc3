import type * as z from 'zod/mini';
import * as core from 'zod/v4/core';

/** A phrasebank file that cannot be used. The message names the file, the place in it and what to do. */
export class PhrasebankError extends Error {
  constructor(
    readonly file: string,
    readonly problems: { path: string; problem: string }[],
  ) {
    super(
      [
        `${file} cannot be used:`,
        ...problems.map((p) => `  at ${p.path || '(the whole file)'}: ${p.problem}`),
      ].join('\n'),
    );
    this.name = 'PhrasebankError';
  }
}

/** JSON path as people write it: concepts["a.b"].parts[0].id */
function show(path: readonly PropertyKey[]): string {
  return path
    .map((step, index) => {
      if (typeof step === 'number') return `[${step}]`;
      const key = String(step);
      if (/^[A-Za-z_][A-Za-z0-9_]*$/.test(key)) return index === 0 ? key : `.${key}`;
      return `[${JSON.stringify(key)}]`;
    })
    .join('');
}

/** What is amiss, and what would be right. */
export function suggest(issue: core.$ZodIssue): string {
  switch (issue.code) {
    case 'unrecognized_keys':
      return `unknown key ${issue.keys.map((key) => JSON.stringify(key)).join(', ')}; remove it or check its spelling`;
    case 'invalid_type':
      return `${issue.message === 'Invalid input' ? `${issue.expected} expected` : issue.message}; add it, or give it the right type`;
    case 'invalid_value':
      return `use one of ${issue.values.map((value) => JSON.stringify(value)).join(', ')}`;
    case 'too_small':
      return issue.message === 'Invalid input' ? `needs at least ${issue.minimum}` : issue.message;
    case 'too_big':
      return issue.message === 'Invalid input' ? `takes at most ${issue.maximum}` : issue.message;
    case 'invalid_union':
      return 'options' in issue && issue.options
        ? `use one of ${issue.options.map((value) => JSON.stringify(value)).join(', ')}`
        : 'has none of the forms that are known here';
    default:
      return issue.message === 'Invalid input' ? 'is not what is wanted here' : issue.message;
  }
}

/** Text of a phrasebank file -> its checked content. Throws PhrasebankError. */
export function parse<T extends z.ZodMiniType>(schema: T, file: string, json: string): z.output<T> {
  let data: unknown;
  try {
    data = JSON.parse(json.replace(/^\uFEFF/, ''));
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    throw new PhrasebankError(file, [
      { path: '', problem: `is not JSON (${message}); look for a missing comma or quotation mark` },
    ]);
  }
  const result = core.safeParse(schema, data);
  if (result.success) return result.data as z.output<T>;
  throw new PhrasebankError(
    file,
    result.error.issues.map((issue) => ({ path: show(issue.path), problem: suggest(issue) })),
  );
}

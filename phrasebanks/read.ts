import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type * as z from 'zod/mini';
import { type JudgingFile, judgingSchema } from './judging';
import { PhrasebankError, parse } from './parse';
import {
  type CommonFile,
  commonSchema,
  type ModuleFile,
  moduleSchema,
  type TeachingFile,
  teachingSchema,
} from './schema';

/* Node only: the browser imports the same JSON and calls parse(). */

const home = fileURLToPath(new URL('.', import.meta.url));

function read<T extends z.ZodMiniType>(schema: T, name: string): z.output<T> {
  const file = `phrasebanks/${name}`;
  if (!/^[a-z0-9-]+\/[A-Za-z0-9.-]+\.json$/.test(name) || !existsSync(home + name)) {
    const known = modules().join(', ');
    throw new PhrasebankError(file, [
      { path: '', problem: `does not exist; modules here: ${known || 'none'}` },
    ]);
  }
  return parse(schema, file, readFileSync(home + name, 'utf8'));
}

const notModules = new Set(['common', 'languages']);

/** Names of the module folders. */
export function modules(): string[] {
  return readdirSync(home, { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && !notModules.has(entry.name))
    .map((entry) => entry.name)
    .sort();
}

/** Languages in which a module has texts, English first. */
export const languagesOf = (module: string): string[] =>
  readdirSync(home + module)
    .flatMap((name) => /^(.+)\.(?:teaching|judging)\.json$/.exec(name)?.[1] ?? [])
    .filter((language, index, all) => all.indexOf(language) === index)
    .sort((a, b) => (a === 'en' ? -1 : b === 'en' ? 1 : a < b ? -1 : 1));

/** Modules that can be judged in a language. */
export const judgedIn = (language: string): string[] =>
  modules().filter((module) => existsSync(`${home}${module}/${language}.judging.json`));

/** Each throws PhrasebankError when the file is missing or unusable. */
export const readJudging = (module: string, language: string): JudgingFile =>
  read(judgingSchema, `${module}/${language}.judging.json`);
export const readTeaching = (module: string, language: string): TeachingFile =>
  read(teachingSchema, `${module}/${language}.teaching.json`);
export const readModule = (module: string): ModuleFile => read(moduleSchema, `${module}/module.json`);
export const readCommon = (language: string): CommonFile => read(commonSchema, `common/${language}.json`);

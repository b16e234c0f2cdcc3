import type * as z from 'zod/mini';
import type { ZodMiniType } from 'zod/mini';
import type { Lesson } from '../../machines/types';
import { type JudgingFile, judgingSchema } from '../../phrasebanks/judging';
import { loadPack } from '../../phrasebanks/languages/load';
import { parse } from '../../phrasebanks/parse';
import { type CommonFile, commonSchema, moduleSchema, teachingSchema } from '../../phrasebanks/schema';

/*
 * The phrasebanks as the browser gets them: one chunk a file, loaded when a visit wants it.
 * Raw text, so that an author's mistake is told with file and path, by the same code as in Node.
 */
const files = import.meta.glob<string>('../../phrasebanks/**/*.json', { query: '?raw', import: 'default' });
const home = '../../phrasebanks/';

export interface FullLesson extends Lesson {
  judging: JudgingFile;
}

async function load<T extends ZodMiniType>(schema: T, path: string): Promise<z.output<T>> {
  const read = files[home + path];
  if (!read) throw new Error(`phrasebanks/${path} does not exist`);
  return parse(schema, `phrasebanks/${path}`, await read());
}

/** Modules and languages that can be taught: those with teaching and judging texts. */
export function offered(): { module: string; language: string }[] {
  return Object.keys(files)
    .map((path) => /([^/]+)\/([^/.]+)\.teaching\.json$/.exec(path))
    .filter((found) => found !== null)
    .map(([, module, language]) => ({ module: module!, language: language! }))
    .filter(({ module, language }) => `${home}${module}/${language}.judging.json` in files);
}

/** What all modules share in a language. Rejects with file, path and reason. */
export const loadCommon = (language: string): Promise<CommonFile> =>
  load(commonSchema, `common/${language}.json`);

/** Lessons that were loaded once are at hand. */
export class LessonShelf {
  readonly #loaded = new Map<string, FullLesson>();

  /** Rejects with file, path and reason. */
  async load(module: string, language: string): Promise<FullLesson> {
    const key = `${module} ${language}`;
    const lesson = this.#loaded.get(key) ?? (await loadLesson(module, language));
    this.#loaded.set(key, lesson);
    return lesson;
  }

  loaded(module: string, language: string): FullLesson | undefined {
    return this.#loaded.get(`${module} ${language}`);
  }

  all(): Promise<FullLesson[]> {
    return Promise.all(offered().map(({ module, language }) => this.load(module, language)));
  }
}

const taughtFiles = (module: string, language: string) =>
  [
    load(moduleSchema, `${module}/module.json`),
    load(teachingSchema, `${module}/${language}.teaching.json`),
  ] as const;

/** What is taught, without what judges it. Rejects with file, path and reason. */
export async function loadTaught(
  module: string,
  language: string,
): Promise<Pick<Lesson, 'module' | 'teaching'>> {
  const [moduleFile, teaching] = await Promise.all(taughtFiles(module, language));
  return { module: moduleFile, teaching };
}

/** Loads and checks everything one visit needs. Rejects with file, path and reason. */
export async function loadLesson(module: string, language: string): Promise<FullLesson> {
  const [moduleFile, teaching, judging, common] = await Promise.all([
    ...taughtFiles(module, language),
    load(judgingSchema, `${module}/${language}.judging.json`),
    loadCommon(language),
    // Judged with it later: from then on it is at hand.
    loadPack(language),
  ]);
  return { module: moduleFile, teaching, judging, common };
}

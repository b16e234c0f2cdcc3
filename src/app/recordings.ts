import { type SayableSentence, sentencesOf } from '../../machines/sentences';
import type { ClipInfo } from '../records/types';
import { clipKey } from '../speaking/clip/key';
import type { FullLesson } from './lessons';
import { particularsOf } from './particulars';
import type { Site } from './site';

/** Said by the computer's voice; by a recording; there is a recording of what the sentence was before. */
export type SentenceState = 'voice' | 'recorded' | 'outdated';

export interface ListedSentence extends SayableSentence {
  key: string;
  state: SentenceState;
  /** The recording that plays, or the outdated one. */
  clip: ClipInfo | null;
}

export interface Recordings {
  sentences: ListedSentence[];
  /** Of sentences that no lesson in this language says any more. */
  unused: ClipInfo[];
}

/**
 * The sentences of a lesson with the site's own words, and how each is said.
 * @param lessons all there are: a recording may serve several
 */
export async function listRecordings(
  lesson: FullLesson,
  lessons: readonly FullLesson[],
  clips: readonly ClipInfo[],
  site: Site,
): Promise<Recordings> {
  const { language } = lesson.common;
  const keyed = (one: FullLesson) =>
    Promise.all(
      sentencesOf(one, particularsOf(one.common, site)).map(async (sentence) => ({
        ...sentence,
        key: await clipKey(language, sentence.text),
      })),
    );
  const sameLanguage = lessons.filter((one) => one.common.language === language);
  const all = await Promise.all(sameLanguage.map(keyed));
  const said = new Set(all.flat().map(({ key }) => key));
  const ours = clips.filter((clip) => clip.language === language);
  const current = new Map(ours.map((clip) => [clip.key, clip]));
  // Newest last: it wins.
  const stale = new Map(
    ours
      .filter(({ key }) => !said.has(key))
      .sort((a, b) => a.recordedAt.localeCompare(b.recordedAt))
      .map((clip) => [clip.place, clip]),
  );
  const listed = all.map((sentences) =>
    sentences.map((sentence): ListedSentence => {
      const playing = current.get(sentence.key) ?? null;
      const before = stale.get(sentence.place) ?? null;
      const state = playing ? 'recorded' : before ? 'outdated' : 'voice';
      return { ...sentence, state, clip: playing ?? before };
    }),
  );
  const shown = new Set(listed.flat().map(({ clip }) => clip?.key));
  return {
    sentences: listed[sameLanguage.indexOf(lesson)] ?? [],
    unused: ours.filter(({ key }) => !shown.has(key)),
  };
}

import { useEffect, useState } from 'react';
import type { FullLesson } from '../lessons';
import { nameOf } from '../shared/language';
import { Needs } from './Field';
import { type LanguagePacks, Pack } from './Pack';
import styles from './Staff.module.css';
import { fieldsOf } from './startOf';
import type { Problems } from './useProblems';

/** The language, and one or several lessons of it, each whole or some of its parts. */
export function WhatToTeach({
  language,
  languages,
  onLanguage,
  lessons,
  chosen,
  onChosen,
  problems,
  ears,
  pack,
}: {
  language: string;
  languages: string[];
  onLanguage: (language: string) => void;
  /** Those that can be taught in this language. */
  lessons: FullLesson[];
  /** In the order in which they are taught. */
  chosen: FullLesson[];
  onChosen: (module: string, chosen: boolean) => void;
  problems: Problems;
  ears: (language: string) => Promise<string>;
  pack?: LanguagePacks | undefined;
}) {
  const invalid = problems.module ? { 'aria-invalid': true, 'aria-describedby': 'module-needs' } : {};
  return (
    <fieldset>
      <legend>What to teach</legend>
      <label className={styles.field}>
        Language
        <select value={language} onChange={(event) => onLanguage(event.target.value)}>
          {languages.map((one) => (
            <option key={one} value={one}>
              {nameOf(one)}
            </option>
          ))}
        </select>
      </label>
      <Ear key={language} language={language} ears={ears} pack={pack} />
      <ul className={styles.lessons} aria-label="Lessons">
        {lessons.map((lesson) => {
          const { id } = lesson.module;
          const place = chosen.indexOf(lesson);
          return (
            <li key={`${language} ${id}`}>
              <label>
                <input
                  type="checkbox"
                  name="module"
                  value={id}
                  checked={place >= 0}
                  onChange={(event) => onChosen(id, event.target.checked)}
                  {...invalid}
                />{' '}
                <strong>{lesson.teaching.title}</strong>
                {chosen.length > 1 && place >= 0 && ` (lesson ${place + 1} of ${chosen.length})`}
              </label>
              {place >= 0 && <Parts lesson={lesson} problem={problems[fieldsOf(id).step]} />}
            </li>
          );
        })}
      </ul>
      <Needs id="module-needs" text={problems.module} />
      {chosen.length > 1 && (
        <p className={styles.caption}>
          One after the other, in the order in which they were chosen, with a rest between.
        </p>
      )}
      {chosen.some(({ teaching }) => !teaching.reviewedBy) && (
        <p className={styles.caution}>These texts have not been reviewed by a qualified person.</p>
      )}
    </fieldset>
  );
}

/** All parts of a lesson, of which some can be left out. */
function Parts({
  lesson: { module, teaching },
  problem,
}: {
  lesson: FullLesson;
  problem: string | undefined;
}) {
  const name = fieldsOf(module.id).step;
  const needs = `needs-of-${module.id}`;
  return (
    <>
      {/* biome-ignore lint/a11y/useSemanticElements: a fieldset here would draw a box in a box */}
      <div role="group" aria-label={`Parts of ${teaching.title}`} className={styles.steps}>
        {module.steps.map((step) => (
          <label key={step.id}>
            <input
              type="checkbox"
              name={name}
              value={step.id}
              defaultChecked
              {...(problem ? { 'aria-invalid': true, 'aria-describedby': needs } : {})}
            />{' '}
            {teaching.steps[step.id]?.title}
          </label>
        ))}
      </div>
      <Needs id={needs} text={problem} />
    </>
  );
}

/** Which recogniser and voice the language gets here; a pack of the browser where one can be had. */
function Ear({
  language,
  ears,
  pack,
}: {
  language: string;
  ears: (language: string) => Promise<string>;
  pack: LanguagePacks | undefined;
}) {
  const [ear, setEar] = useState('');
  /** Counts installations: what can hear is asked again after each. */
  const [installed, setInstalled] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked again after an installation
  useEffect(() => {
    let current = true;
    setEar('');
    ears(language).then((sentence) => current && setEar(sentence));
    return () => {
      current = false;
    };
  }, [language, ears, installed]);
  return (
    <>
      <p className={styles.caption} role="status">
        {ear || 'Looking for a recogniser and a voice …'}
      </p>
      {pack && <Pack language={language} pack={pack} onInstalled={() => setInstalled((n) => n + 1)} />}
    </>
  );
}

import type { FormEvent } from 'react';
import type { VisitRecord } from '../../records/derive';
import { outcomeNames } from '../../records/outcome-names';
import { missedIn, type RecheckEntry } from '../../records/recheck';
import { readiness } from '../../records/schema';
import { shortTime } from '../shared/dates';
import { nameOf } from '../shared/language';
import { Field, Needs } from './Field';
import { Readiness } from './Readiness';
import styles from './Staff.module.css';
import { type Problems, useProblems } from './useProblems';

/** Prepares a re-check: what was missed is chosen already, and only what may have changed is entered anew. */
export function RecheckForm({
  record,
  onStart,
  onBack,
}: {
  /** Of the earlier visit. */
  record: VisitRecord;
  onStart: (entry: RecheckEntry) => void;
  onBack: () => void;
}) {
  const { problems, form, tell, onInput } = useProblems();
  const { start, endedAt } = record;
  const submit = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const given = new FormData(event.currentTarget);
    const word = (name: string) => String(given.get(name) ?? '').trim();
    const concepts = given.getAll('concept').map(String);
    const needs: Problems = {
      ...(concepts.length === 0 ? { concept: 'Choose at least one point to ask again.' } : {}),
      ...(word('bed') ? {} : { bed: 'Enter the bed, or where the learner is.' }),
      ...(word('staff') ? {} : { staff: 'Enter your name.' }),
    };
    if (Object.keys(needs).length > 0) return tell(needs);
    const ready = readiness.find((how) => how === word('readiness'));
    onStart({
      visit: crypto.randomUUID(),
      bed: word('bed'),
      staff: word('staff'),
      concepts,
      ...(ready ? { readiness: ready } : {}),
    });
  };
  return (
    <main className={styles.staff} data-screen="recheck">
      <h1>Check the missed points again</h1>
      <p className={styles.caption}>
        Of the visit of {shortTime(endedAt ?? '')}: {start?.learner.name}
        {start?.learner.role === 'caregiver' &&
          ` (caregiver${start.learner.relation ? `, ${start.learner.relation}` : ''})`}
        , {nameOf(start?.language ?? 'en')}. Needs and particulars are taken over from it.
      </p>
      <form ref={form} className={styles.form} noValidate onSubmit={submit} onInput={onInput}>
        <fieldset>
          <legend>Points to ask</legend>
          <p className={styles.caption}>Each is asked first, and taught only if it is missed again.</p>
          <div className={styles.ticks}>
            {missedIn(record).map(({ concept, label, outcome }) => (
              <label key={concept}>
                <input
                  type="checkbox"
                  name="concept"
                  value={concept}
                  defaultChecked
                  {...(problems.concept ? { 'aria-invalid': true, 'aria-describedby': 'concept-needs' } : {})}
                />{' '}
                <span>
                  {label} <span className={styles.caption}>({outcomeNames[outcome]})</span>
                </span>
              </label>
            ))}
          </div>
          <Needs id="concept-needs" text={problems.concept} />
        </fieldset>
        <fieldset>
          <legend>Today</legend>
          <Field
            label="Bed, or where the learner is"
            name="bed"
            maxLength={20}
            defaultValue={start?.bed}
            problem={problems.bed}
          />
          <Field label="Your name" name="staff" problem={problems.staff} />
          <Readiness />
        </fieldset>
        <div className={styles.buttons}>
          <button type="submit" className={styles.go}>
            Start the re-check
          </button>
          <button type="button" onClick={onBack}>
            Back
          </button>
        </div>
      </form>
    </main>
  );
}

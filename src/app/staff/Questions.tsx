import type { VisitRecord } from '../../records/derive';
import type { Question } from '../../records/reviewed';
import { shortTime } from '../shared/dates';
import { Panel, useOpened } from './Panel';
import styles from './Staff.module.css';

const helpNames = { learner: 'the learner', distress: 'words of distress', staff: 'staff' } as const;

/** What the learner asked, and when help was called. What was kept for the care team can be answered. */
export function Questions({ record: { questions, helpCalls } }: { record: VisitRecord }) {
  if (questions.length + helpCalls.length === 0) return null;
  return (
    <>
      <h2>Questions and calls for help</h2>
      <ul className={styles.list}>
        {questions.map((question) => (
          <Asked key={question.seq} question={question} />
        ))}
        {helpCalls.map(({ at, by, text }) => (
          <li key={`${at} help`}>
            Help was called by {helpNames[by]}
            {text && (
              <>
                : <q>{text}</q>
              </>
            )}
          </li>
        ))}
      </ul>
    </>
  );
}

function Asked({ question: { seq, text, answer, staff } }: { question: Question }) {
  const { open, button, close } = useOpened();
  if (answer !== null)
    return (
      <li>
        <q>{text}</q> <span className={styles.caption}>answered: {answer}</span>
      </li>
    );
  return (
    <li>
      <q>{text}</q>{' '}
      {staff ? (
        <span>
          answered by {staff.by.name}, {shortTime(staff.at)}: {staff.answer}
        </span>
      ) : (
        <strong className={styles.needsPerson}>not answered yet</strong>
      )}{' '}
      <button {...button} aria-label={`${staff ? 'Answer anew' : 'Answer it'}: ${text}`}>
        {staff ? 'Answer anew' : 'Answer it'}
      </button>
      {open && (
        <Panel
          legend={`Answer: ${text}`}
          submit="Keep the answer"
          done="The answer is kept."
          make={(word) => {
            const given = word('answer').trim();
            if (!given) throw new Error('Write what the learner was told.');
            return [{ type: 'answered', question: seq, answer: given }];
          }}
          onClose={close}
        >
          <label className={styles.field}>
            What the learner was told
            <textarea name="answer" required rows={2} maxLength={1000} defaultValue={staff?.answer ?? ''} />
          </label>
        </Panel>
      )}
    </li>
  );
}

import type { ReactNode } from 'react';
import { fill } from '../../../machines/script';
import type { PersonEvent, VisitView } from '../../../machines/types';
import { Action } from '../shared/Action';
import { useWords } from '../shared/words';
import styles from './Screen.module.css';
import { useSpaceBar } from './spaceBar';

/** Screens that belong to no step. */
const beforeSteps = new Set<VisitView['screen']>([
  'resume',
  'cloud',
  'sound-check',
  'show-me',
  'summary',
  'ended',
]);

type Send = (event: PersonEvent) => void;

/** The frame of every learner's screen: where we are, a way to call for help, the content, one main action. */
export function Screen({
  view,
  send,
  picture,
  main,
  tools,
  children,
}: {
  view: VisitView;
  send: Send;
  picture?: boolean;
  main?: ReactNode;
  tools?: ReactNode;
  children: ReactNode;
}) {
  const words = useWords();
  const { step } = view;
  useSpaceBar();
  return (
    <main
      className={styles.screen}
      data-screen={view.screen}
      data-step={beforeSteps.has(view.screen) ? '' : step?.id}
      data-attempt={view.attempt}
      data-listening={view.listening}
      data-asked={view.asked.join(' ')}
      data-ear={view.ear ?? ''}
    >
      <header className={styles.bar}>
        {step && !beforeSteps.has(view.screen) ? (
          <Progress index={step.index} count={step.count} title={step.title} />
        ) : (
          <span />
        )}
        <Action icon="help" kind="alarm" onPress={() => send({ type: 'HELP' })}>
          {words.help}
        </Action>
      </header>
      <div className={picture && step ? styles.withPicture : styles.content}>
        {picture && step && (
          <img
            className={styles.picture}
            src={`/pictures/${step.picture}`}
            alt={fill(words.pictureOf, { text: step.pictureText })}
          />
        )}
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, so a keyboard must reach it */}
        <div className={styles.words} tabIndex={0}>
          {children}
        </div>
      </div>
      <footer className={styles.foot}>
        {main && (
          <div className={styles.main} data-main>
            {main}
          </div>
        )}
        {tools && <div className={styles.tools}>{tools}</div>}
      </footer>
    </main>
  );
}

function Progress({ index, count, title }: { index: number; count: number; title: string }) {
  const words = useWords();
  return (
    <div className={styles.progress}>
      <p className={styles.where}>
        {fill(words.step, { index: `${index + 1}`, count: `${count}` })}
        <span className={styles.title}>{title}</span>
      </p>
      <ol className={styles.dots} aria-hidden="true">
        {Array.from({ length: count }, (_, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: the dots are the indices
          <li key={i} className={i < index ? styles.past : i === index ? styles.now : styles.future} />
        ))}
      </ol>
    </div>
  );
}

/** Say it again, slower, louder, and a question: the same four on every screen where we speak. */
export function VoiceTools({ send, question = true }: { send: Send; question?: boolean }) {
  const words = useWords();
  return (
    <>
      <Action icon="again" kind="quiet" onPress={() => send({ type: 'AGAIN' })}>
        {words.again}
      </Action>
      <Action icon="slower" kind="quiet" onPress={() => send({ type: 'SLOWER' })}>
        {words.slower}
      </Action>
      <Action icon="louder" kind="quiet" onPress={() => send({ type: 'LOUDER' })}>
        {words.louder}
      </Action>
      {question && (
        <Action icon="question" kind="quiet" onPress={() => send({ type: 'ASK' })}>
          {words.question}
        </Action>
      )}
    </>
  );
}

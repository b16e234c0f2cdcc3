import { type ReactNode, useEffect, useId, useRef } from 'react';
import { fill } from '../../../machines/script';
import type { PersonEvent, VisitView } from '../../../machines/types';
import { Action } from '../shared/Action';
import { LightSwitch } from '../shared/LightSwitch';
import { useWords } from '../shared/words';
import { beforeSteps } from './beforeSteps';
import styles from './Screen.module.css';
import { useSpaceBar } from './spaceBar';

type Send = (event: PersonEvent) => void;

/**
 * The frame of every learner's screen: where we are, a way to call for help, the content, one main action. `titled`:
 * the content has a heading of its own; else the step is the heading, out of sight, as it is in sight above.
 */
export function Screen({
  view,
  send,
  titled = false,
  progress,
  picture,
  main,
  tools,
  children,
}: {
  view: VisitView;
  send: Send;
  titled?: boolean;
  /** Where we are, when it is not a step of the lesson. */
  progress?: ReactNode;
  picture?: boolean;
  main?: ReactNode;
  tools?: ReactNode;
  children: ReactNode;
}) {
  const words = useWords();
  const { step } = view;
  const heading = useId();
  const inStep = step !== null && !beforeSteps.has(view.screen);
  useSpaceBar();
  return (
    <main
      ref={useFocusWithin(view.screen)}
      tabIndex={-1}
      className={styles.screen}
      data-screen={view.screen}
      data-step={inStep ? step.id : ''}
      data-attempt={view.attempt}
      data-listening={view.listening}
      data-asked={view.asked.join(' ')}
      data-ear={view.ear ?? ''}
    >
      <header className={styles.bar}>
        {!titled && (
          <h1 className="visually-hidden" id={heading}>
            {inStep ? step.title : words.idleTitle}
          </h1>
        )}
        {progress ||
          (inStep ? (
            <Progress
              title={step.title}
              where={fill(words.step, { index: `${step.index + 1}`, count: `${step.count}` })}
              index={step.index}
              count={step.count}
            />
          ) : (
            <p className={styles.product} translate="no">
              Ownwords
            </p>
          ))}
        <LightSwitch />
        <Action icon="help" kind="alarm" turn="first" onPress={() => send({ type: 'HELP' })}>
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
        <section
          className={styles.words}
          // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, so a keyboard must reach it
          tabIndex={0}
          {...(titled ? { 'aria-label': words.idleTitle } : { 'aria-labelledby': heading })}
        >
          {children}
        </section>
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

/**
 * When a screen has gone with the button that had the focus, the next one takes it: who reads by ear starts at its
 * top, and no key is lost.
 */
export function useFocusWithin(screen: VisitView['screen']) {
  const ref = useRef<HTMLElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: whenever another screen is shown
  useEffect(() => {
    if (document.activeElement === document.body) ref.current?.focus({ preventScroll: true });
  }, [screen]);
  return ref;
}

/** What this is about, and where in it we are: in words and as a row of dots. */
export function Progress({
  title,
  where,
  index,
  count,
}: {
  title: string;
  /** Empty: nowhere in particular. */
  where: string;
  index: number;
  count: number;
}) {
  return (
    <div className={styles.progress}>
      {where && (
        <div className={styles.where}>
          <p>{where}</p>
          <ol className={styles.dots} aria-hidden="true">
            {Array.from({ length: count }, (_, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: the dots are the indices
              <li key={i} className={i < index ? styles.past : i === index ? styles.now : styles.future} />
            ))}
          </ol>
        </div>
      )}
      <p className={styles.title}>{title}</p>
    </div>
  );
}

/** Say it again, slower, louder, and a question: the same four on every screen where we speak. In the sound check, softer. */
export function VoiceTools({
  send,
  question = true,
  softer = false,
}: {
  send: Send;
  question?: boolean;
  softer?: boolean;
}) {
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
      {softer && (
        <Action icon="softer" kind="quiet" onPress={() => send({ type: 'SOFTER' })}>
          {words.softer}
        </Action>
      )}
      {question && (
        <Action icon="question" kind="quiet" onPress={() => send({ type: 'ASK' })}>
          {words.question}
        </Action>
      )}
    </>
  );
}

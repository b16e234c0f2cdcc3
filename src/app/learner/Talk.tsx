import type { PersonEvent, VisitView } from '../../../machines/types';
import type { Screens } from '../../../phrasebanks/schema';
import { Action } from '../shared/Action';
import { Captions } from '../shared/Captions';
import type { IconName } from '../shared/Icon';
import { Meter } from '../shared/Meter';
import { Pages } from '../shared/Pages';
import { unbroken } from '../shared/unbroken';
import { useWords } from '../shared/words';
import { Screen, useFocusWithin, VoiceTools } from './Screen';
import styles from './Talk.module.css';

export interface ScreenProps {
  view: VisitView;
  send: (event: PersonEvent) => void;
}

/** How the ear stands, in words; nothing while it is closed. */
export const listeningIn = (words: Screens, listening: VisitView['listening']): string =>
  listening === 'off' ? '' : words.listening[listening];

/** The two big buttons of a yes-no question. */
export function YesNo({ send }: { send: ScreenProps['send'] }) {
  const words = useWords();
  return (
    <>
      <Action kind="main" icon="yes" onPress={() => send({ type: 'YES' })}>
        {words.yes}
      </Action>
      <Action kind="main" icon="no" onPress={() => send({ type: 'NO' })}>
        {words.no}
      </Action>
    </>
  );
}

/** We speak: teaching, asking, praising, teaching again. */
export function Speak({ view, send }: ScreenProps) {
  const words = useWords();
  // Nobody has to hear a question to its end.
  const answers = view.screen === 'ask' && (view.expects === 'answer' || view.expects === 'short');
  return (
    <Screen
      view={view}
      send={send}
      picture={view.screen !== 'sound-check' && view.screen !== 'cloud'}
      main={
        view.expects === 'yes-no' ? (
          <YesNo send={send} />
        ) : (
          <Action kind="main" icon={answers ? 'voice' : 'next'} onPress={() => send({ type: 'GO_ON' })}>
            {answers ? words.answerNow : words.next}
          </Action>
        )
      }
      tools={
        <VoiceTools
          send={send}
          question={view.expects !== 'yes-no'}
          softer={view.screen === 'sound-check' && view.expects === 'yes-no'}
        />
      }
    >
      <Captions sentences={view.captions} speaking={view.speaking} />
    </Screen>
  );
}

/** The learner speaks. The question stays in sight, and Done is always there. */
export function Listen({ view, send }: ScreenProps) {
  const words = useWords();
  const open = view.listening !== 'off' && view.listening !== 'opening' && view.listening !== 'closing';
  return (
    <Screen
      view={view}
      send={send}
      main={
        view.expects === 'yes-no' ? (
          <YesNo send={send} />
        ) : (
          <Action kind="main" icon="done" onPress={() => send({ type: 'DONE' })}>
            {words.done}
          </Action>
        )
      }
      tools={
        <>
          <Action icon="again" kind="quiet" onPress={() => send({ type: 'AGAIN' })}>
            {words.again}
          </Action>
          {view.asked.length > 0 && (
            <Action icon="cards" kind="quiet" onPress={() => send({ type: 'USE_CARDS' })}>
              {words.useCards}
            </Action>
          )}
          {view.expects !== 'yes-no' && (
            <Action icon="question" kind="quiet" onPress={() => send({ type: 'ASK' })}>
              {words.question}
            </Action>
          )}
        </>
      }
    >
      <div className={styles.listen}>
        <p className={styles.question} data-captions>
          {unbroken(view.question || (view.captions.at(-1) ?? ''))}
        </p>
        <div className={styles.ear}>
          <Meter level={view.level} active={open} />
          <p className={styles.state} aria-live="polite">
            {view.note || listeningIn(words, view.listening)}
          </p>
        </div>
        <p className={styles.interim} data-heard data-tail>
          {view.interim}
        </p>
      </div>
    </Screen>
  );
}

/** The learner's words, as they were heard. */
function HeardBack({ view }: Pick<ScreenProps, 'view'>) {
  const words = useWords();
  return (
    <>
      <p className={styles.soft}>{words.iHeard}</p>
      <Pages>
        <blockquote className={styles.heard} data-heard>
          {view.heard?.text}
        </blockquote>
      </Pages>
    </>
  );
}

/** We say back what was heard. When in doubt we ask whether it is right. */
export function Confirm({ view, send }: ScreenProps) {
  const words = useWords();
  return (
    <Screen view={view} send={send} main={<YesNo send={send} />}>
      <div className={styles.back}>
        <HeardBack view={view} />
        <p className={styles.question} data-captions>
          {words.isThatRight}
        </p>
        <p className={styles.state} aria-live="polite">
          {listeningIn(words, view.listening)}
        </p>
      </div>
    </Screen>
  );
}

/** Between hearing and answering. Short, and never empty. */
export function Think({ view, send }: ScreenProps) {
  return (
    <Screen view={view} send={send}>
      <div className={styles.back}>
        <HeardBack view={view} />
        <p className={styles.state} role="status">
          {view.note}
        </p>
      </div>
    </Screen>
  );
}

/** Microphone or recogniser trouble: what is the matter, and what to do next. */
export function Trouble({ view, send }: ScreenProps) {
  const words = useWords();
  const cards = (kind: 'main' | 'quiet') => (
    <Action kind={kind} icon="cards" onPress={() => send({ type: 'USE_CARDS' })}>
      {words.useCards}
    </Action>
  );
  const voice = (kind: 'main' | 'quiet') => (
    <Action kind={kind} icon="voice" onPress={() => send({ type: 'USE_VOICE' })}>
      {words.useVoice}
    </Action>
  );
  return (
    <Screen
      view={view}
      send={send}
      // Who goes by ear may not see the cards.
      main={view.byEar ? voice('main') : cards('main')}
      tools={
        <>
          {view.byEar ? cards('quiet') : voice('quiet')}
          <Action icon="again" kind="quiet" onPress={() => send({ type: 'AGAIN' })}>
            {words.again}
          </Action>
        </>
      }
    >
      <div data-trouble={view.trouble ?? ''}>
        <Captions sentences={view.captions} speaking={view.speaking} />
      </div>
    </Screen>
  );
}

/** Resume, pause: a sentence and a choice. */
export function Choice({
  view,
  send,
  title,
  text,
  yes,
  no,
}: ScreenProps & {
  title: string;
  text: string;
  yes: [string, PersonEvent];
  no?: [string, PersonEvent, IconName];
}) {
  return (
    <Screen
      view={view}
      send={send}
      titled
      main={
        <Action kind="main" icon="next" onPress={() => send(yes[1])}>
          {yes[0]}
        </Action>
      }
      tools={
        no && (
          <Action icon={no[2]} kind="quiet" onPress={() => send(no[1])}>
            {no[0]}
          </Action>
        )
      }
    >
      <div className={styles.choice}>
        <h1>{title}</h1>
        {text && <p className={styles.soft}>{text}</p>}
        <Captions sentences={view.captions} speaking={view.speaking} />
      </div>
    </Screen>
  );
}

/** Full-screen: staff is called, and the learner is told to use the bedside button as well. */
export function Help({ view, send }: ScreenProps) {
  const words = useWords();
  return (
    <main
      ref={useFocusWithin('help')}
      tabIndex={-1}
      className={styles.alarm}
      data-screen="help"
      data-step={view.step?.id}
    >
      <h1 className={styles.alarmTitle}>{words.helpTitle}</h1>
      <div data-captions className={styles.alarmText} role="alert">
        {view.captions.join(' ') || words.helpText}
      </div>
      {/* Whoever comes ends the call; a switch pressed in distress does not. */}
      <Action icon="person" forStaff onPress={() => send({ type: 'HELP_OVER' })}>
        {words.helpOver}
      </Action>
    </main>
  );
}

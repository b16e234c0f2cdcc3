import type { Card, PersonEvent, VisitView } from '../../../machines/types';
import { useWords } from '../shared/words';
import { Cards } from './Cards';
import { Screen } from './Screen';
import { ShowMe } from './ShowMe';
import { Choice, Confirm, Help, Listen, Speak, Think, Trouble } from './Talk';

/** One screen for each thing that a visit can be doing. */
export function Learner({
  view,
  send,
  cards,
  inOrder = false,
  points,
}: {
  view: VisitView;
  send: (event: PersonEvent) => void;
  /** Cards that fit what is asked now. */
  cards: Card[];
  /** The order of what is done matters, so cards are touched in it. */
  inOrder?: boolean;
  points: { id: string; text: string }[];
}) {
  const words = useWords();
  const both = { view, send };
  switch (view.screen) {
    case 'resume':
      return (
        <Choice
          {...both}
          title={words.resumeTitle}
          text={words.resumeText}
          yes={[words.resumeYes, { type: 'YES' }]}
          no={[words.resumeNo, { type: 'NO' }, 'pause']}
        />
      );
    case 'paused':
      return (
        <Choice
          {...both}
          title={words.pausedTitle}
          text=""
          yes={[words.next, { type: 'GO_ON' }]}
          no={[words.endVisit, { type: 'STOP' }, 'stop']}
        />
      );
    case 'confirm':
      return <Confirm {...both} />;
    case 'think':
      return <Think {...both} />;
    case 'trouble':
      return <Trouble {...both} />;
    case 'cards':
      // A new set of cards starts with nothing chosen.
      return (
        <Cards
          key={`${view.step?.id} ${view.attempt} ${view.asked.join()}`}
          {...both}
          cards={cards}
          inOrder={inOrder}
        />
      );
    case 'help':
      return <Help {...both} />;
    case 'show-me':
      return <ShowMe {...both} points={points} />;
    case 'ended':
      return (
        <Screen {...both}>
          <p data-captions>{view.captions.at(-1)}</p>
        </Screen>
      );
    default:
      return view.listening === 'off' ? <Speak {...both} /> : <Listen {...both} />;
  }
}

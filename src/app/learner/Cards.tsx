import { useState } from 'react';
import type { Card } from '../../../machines/types';
import { Action } from '../shared/Action';
import { useNaming } from '../shared/naming';
import { useWords } from '../shared/words';
import styles from './Cards.module.css';
import { Screen } from './Screen';
import type { ScreenProps } from './Talk';

/**
 * Answering by touch, for those who cannot speak or are not heard; typing below it. `inOrder`: the order of what is
 * done matters, so cards are touched in that order and carry their numbers.
 */
export function Cards({ view, send, cards, inOrder }: ScreenProps & { cards: Card[]; inOrder: boolean }) {
  const words = useWords();
  const name = useNaming();
  // In the order of touching.
  const [chosen, setChosen] = useState<readonly Card[]>([]);
  const [typed, setTyped] = useState('');
  const toggle = (card: Card) => {
    setChosen(chosen.includes(card) ? chosen.filter((other) => other !== card) : [...chosen, card]);
    name(card.text);
  };
  return (
    <Screen
      view={view}
      send={send}
      main={
        <Action
          kind="main"
          icon="done"
          disabled={chosen.length === 0}
          onPress={() => send({ type: 'CARDS', chosen: [...chosen] })}
        >
          {words.cardsDone}
        </Action>
      }
      tools={
        <Action icon="voice" kind="quiet" onPress={() => send({ type: 'USE_VOICE' })}>
          {words.useVoice}
        </Action>
      }
    >
      <p className={styles.question} data-captions>
        {view.question || view.captions.at(-1)}
      </p>
      {cards.length > 0 && <p>{inOrder ? words.cardsOrder : words.cardsLead}</p>}
      <div className={styles.cards}>
        {cards.map((card) => (
          <button
            key={`${card.concept} ${card.contradiction ?? ''}`}
            type="button"
            className={styles.card}
            aria-pressed={chosen.includes(card)}
            onClick={() => toggle(card)}
          >
            {inOrder && chosen.includes(card) && <b className={styles.place}>{chosen.indexOf(card) + 1}</b>}
            {card.text}
          </button>
        ))}
      </div>
      <form
        className={styles.typed}
        onSubmit={(event) => {
          event.preventDefault();
          if (typed.trim()) send({ type: 'TYPE', text: typed.trim() });
        }}
      >
        <label>
          <span className="visually-hidden">{words.typeInstead}</span>
          <input
            value={typed}
            placeholder={words.typeInstead}
            autoComplete="off"
            maxLength={2000}
            onChange={(event) => setTyped(event.target.value)}
          />
        </label>
        <button type="submit" disabled={!typed.trim()}>
          {words.sendTyped}
        </button>
      </form>
    </Screen>
  );
}

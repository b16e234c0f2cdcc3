import { useState } from 'react';
import type { Card } from '../../../machines/types';
import { Action } from '../shared/Action';
import { useWords } from '../shared/words';
import styles from './Cards.module.css';
import { Screen } from './Screen';
import type { ScreenProps } from './Talk';

/** Answering by touch, for those who cannot speak or are not heard; typing below it. */
export function Cards({ view, send, cards }: ScreenProps & { cards: Card[] }) {
  const words = useWords();
  const [chosen, setChosen] = useState<ReadonlySet<Card>>(new Set());
  const [typed, setTyped] = useState('');
  const toggle = (card: Card) => {
    const next = new Set(chosen);
    if (!next.delete(card)) next.add(card);
    setChosen(next);
  };
  return (
    <Screen
      view={view}
      send={send}
      main={
        <Action
          kind="main"
          icon="done"
          disabled={chosen.size === 0}
          onPress={() => send({ type: 'CARDS', chosen: cards.filter((card) => chosen.has(card)) })}
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
      {cards.length > 0 && <p>{words.cardsLead}</p>}
      <div className={styles.cards}>
        {cards.map((card) => (
          <button
            key={`${card.concept} ${card.contradiction ?? ''}`}
            type="button"
            className={styles.card}
            aria-pressed={chosen.has(card)}
            onClick={() => toggle(card)}
          >
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

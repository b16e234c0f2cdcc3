import { type KeyboardEvent, useState } from 'react';
import { fill } from '../../../machines/script';
import type { Card } from '../../../machines/types';
import { Action } from '../shared/Action';
import { useNaming } from '../shared/naming';
import { unbroken } from '../shared/unbroken';
import { useWords } from '../shared/words';
import styles from './Cards.module.css';
import { Progress, Screen } from './Screen';
import type { ScreenProps } from './Talk';

/** Cards that are laid out together: those of one concept, in the order of the cards. */
function pagesOf(cards: Card[]): Card[][] {
  const pages = new Map<string, Card[]>();
  for (const card of cards) pages.set(card.concept, [...(pages.get(card.concept) ?? []), card]);
  return [...pages.values()];
}

/** The question alone, without what leads to it: there is no room for both beside the cards. */
function lastSentence(text: string): string {
  const sentences = [...new Intl.Segmenter(undefined, { granularity: 'sentence' }).segment(text)];
  return sentences.at(-1)?.segment ?? '';
}

/**
 * Answering by touch, for those who cannot speak or are not heard: one point after the other, or typed. `inOrder`: the
 * order of what is done matters, so at the end what was chosen is touched in that order and carries its number.
 */
export function Cards({ view, send, cards, inOrder }: ScreenProps & { cards: Card[]; inOrder: boolean }) {
  const words = useWords();
  const name = useNaming();
  const [chosen, setChosen] = useState<readonly Card[]>([]);
  const [placed, setPlaced] = useState<readonly Card[]>([]);
  const [typed, setTyped] = useState('');
  const pages = pagesOf(cards);
  const [page, setPage] = useState(0);
  const [typing, setTyping] = useState(cards.length === 0);
  // One of each point is enough to put in order: who chose two of them is not sure of it anyway.
  const heads = pages.flatMap((page) => page.find((card) => chosen.includes(card)) ?? []);
  const asksOrder = inOrder && heads.length > 1;
  const ordering = page === pages.length;
  const toggle = (card: Card) => {
    setChosen(chosen.includes(card) ? chosen.filter((other) => other !== card) : [...chosen, card]);
    setPlaced([]);
    name(card.text);
  };
  const place = (card: Card) => {
    setPlaced(placed.includes(card) ? placed.filter((other) => other !== card) : [...placed, card]);
    name(card.text);
  };
  const answer = () => {
    const first = asksOrder ? placed : [];
    send({ type: 'CARDS', chosen: [...first, ...chosen.filter((card) => !first.includes(card))] });
  };
  const sendTyped = () => {
    if (typed.trim()) send({ type: 'TYPE', text: typed.trim() });
  };
  const enter = (event: KeyboardEvent) => {
    if (event.key !== 'Enter' || event.shiftKey) return;
    event.preventDefault();
    sendTyped();
  };
  const more = page < pages.length - 1 || (!ordering && asksOrder);
  const main = typing ? (
    <Action kind="main" icon="done" disabled={!typed.trim()} onPress={sendTyped}>
      {words.sendTyped}
    </Action>
  ) : more ? (
    <Action key="next" kind="main" icon="next" onPress={() => setPage(page + 1)}>
      {words.next}
    </Action>
  ) : (
    <Action
      key="answer"
      kind="main"
      icon="done"
      disabled={ordering ? placed.length < heads.length : chosen.length === 0}
      onPress={answer}
    >
      {words.cardsDone}
    </Action>
  );
  return (
    <Screen
      view={view}
      send={send}
      progress={
        !typing && (
          <Progress
            title={ordering ? words.cardsOrder : words.cardsLead}
            where={ordering ? '' : fill(words.pageOf, { index: `${page + 1}`, count: `${pages.length}` })}
            index={page}
            count={pages.length}
          />
        )
      }
      main={main}
      tools={
        <>
          {!typing && (pages.length > 1 || inOrder) && (
            <Action
              icon="back"
              kind="quiet"
              label={words.back}
              disabled={page === 0}
              onPress={() => setPage(page - 1)}
            />
          )}
          <Action icon="voice" kind="quiet" onPress={() => send({ type: 'USE_VOICE' })}>
            {words.useVoice}
          </Action>
          {cards.length > 0 && (
            <Action
              icon={typing ? 'cards' : 'key'}
              kind="quiet"
              label={typing ? words.useCards : words.typeInstead}
              onPress={() => setTyping(!typing)}
            />
          )}
        </>
      }
    >
      <p className={styles.question} data-captions>
        {unbroken(lastSentence(view.question || (view.captions.at(-1) ?? '')))}
      </p>
      {typing ? (
        <textarea
          className={styles.typed}
          aria-label={words.typeInstead}
          value={typed}
          rows={3}
          autoComplete="off"
          maxLength={2000}
          onChange={(event) => setTyped(event.target.value)}
          onKeyDown={enter}
        />
      ) : (
        <div className={ordering ? styles.order : styles.cards}>
          {(ordering ? heads.toSorted((a, b) => cards.indexOf(a) - cards.indexOf(b)) : pages[page])?.map(
            (card) => (
              <button
                key={`${card.concept} ${card.contradiction ?? ''}`}
                type="button"
                className={styles.card}
                aria-pressed={(ordering ? placed : chosen).includes(card)}
                onClick={() => (ordering ? place : toggle)(card)}
              >
                {ordering && placed.includes(card) && (
                  <b className={styles.place}>{placed.indexOf(card) + 1}</b>
                )}
                <span>{card.text}</span>
              </button>
            ),
          )}
        </div>
      )}
    </Screen>
  );
}

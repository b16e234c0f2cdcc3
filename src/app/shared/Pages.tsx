import { type ReactNode, useLayoutEffect, useRef, useState } from 'react';
import { fill } from '../../../machines/script';
import { Action } from './Action';
import styles from './Pages.module.css';
import { useWords } from './words';

/**
 * Whatever is too long for its room, by pages instead of by scrolling. The browser breaks it into columns as wide
 * as the room; all of it stays there for those who hear the screen. The room and, where it is wanted, the row that
 * turns the pages are two elements: whoever holds them says where they stand.
 */
export function Pages({ children }: { children: ReactNode }) {
  const words = useWords();
  const room = useRef<HTMLDivElement>(null);
  const [count, setCount] = useState(1);
  const [wanted, setPage] = useState(0);
  const page = Math.min(wanted, count - 1);
  useLayoutEffect(() => {
    const box = room.current;
    if (!box) return;
    const measure = () => {
      const gap = Number.parseFloat(getComputedStyle(box).columnGap) || 0;
      setCount(Math.max(1, Math.round((box.scrollWidth + gap) / (box.clientWidth + gap)) || 1));
    };
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(box);
    for (const child of box.children) watch.observe(child);
    return () => watch.disconnect();
  });
  useLayoutEffect(() => {
    const box = room.current;
    if (!box) return;
    const { columnGap, direction } = getComputedStyle(box);
    const step = box.clientWidth + (Number.parseFloat(columnGap) || 0);
    box.scrollLeft = (direction === 'rtl' ? -1 : 1) * page * step;
  }, [page]);
  return (
    <>
      <div ref={room} className={styles.room} data-pages={count}>
        {children}
      </div>
      {count > 1 && (
        <div className={styles.turn} data-turn>
          <Action
            kind="quiet"
            icon="back"
            label={words.back}
            disabled={page === 0}
            onPress={() => setPage(page - 1)}
          />
          <p aria-live="polite">{fill(words.pageOf, { index: `${page + 1}`, count: `${count}` })}</p>
          <Action
            kind="quiet"
            icon="next"
            label={words.more}
            disabled={page === count - 1}
            onPress={() => setPage(page + 1)}
          />
        </div>
      )}
    </>
  );
}

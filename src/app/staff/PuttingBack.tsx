import styles from './Staff.module.css';

/** While the records open, where what the browser has lost is put back: with thousands of visits that takes minutes. */
export function PuttingBack({ visits, done }: { visits: number; done: number }) {
  const [all, now] = [visits, done].map((count) => count.toLocaleString('en'));
  return (
    <main className={styles.staff} data-screen="putting-back">
      <h1>Please wait: visits are being put back</h1>
      <p>The browser had lost them. Leave this device on.</p>
      <p>
        <progress aria-label="Visits put back" value={done} max={visits} /> {now} of {all}
      </p>
    </main>
  );
}

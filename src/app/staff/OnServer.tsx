import { useEffect, useState } from 'react';
import type { FiledNote, FiledPage } from '../../fhir/filed';
import { NoteList, NoteView } from './NotesOnServer';
import { useAsked } from './useAsked';

/** What all kiosks of the house have filed with the record server, to be read and not changed. */
export function OnServer({
  more,
  onRead,
  onBack,
  onClose,
}: {
  /** The next page of notes, newest first. Rejects with a sentence. */
  more: () => Promise<FiledPage>;
  /** Resolves when it is noted who reads it; rejects with a sentence, and then it is not shown. */
  onRead: (visit: string) => Promise<void>;
  onBack: () => void;
  onClose: () => void;
}) {
  const [notes, setNotes] = useState<FiledNote[]>([]);
  const [done, setDone] = useState(false);
  const [unreadable, setUnreadable] = useState(0);
  const [open, setOpen] = useState<FiledNote | null>(null);
  /** The note that was read last: the focus comes back to it. */
  const [last, setLast] = useState('');
  const { busy, problem, done: said, ask } = useAsked();
  const fetchMore = () =>
    ask(async () => {
      const page = await more();
      setNotes((before) => [...before, ...page.notes]);
      setUnreadable((before) => before + page.unreadable);
      setDone(page.done);
      return page.done ? 'There are no older notes.' : `${page.notes.length} notes more.`;
    });
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, when the screen opens
  useEffect(() => void fetchMore(), []);

  const read = (note: FiledNote) =>
    ask(async () => {
      await onRead(note.visit);
      setLast(note.id);
      setOpen(note);
    });
  if (open) return <NoteView note={open} onBack={() => setOpen(null)} onClose={onClose} />;
  return (
    <NoteList
      notes={notes}
      done={done}
      unreadable={unreadable}
      last={last}
      busy={busy}
      problem={problem}
      said={said}
      onMore={fetchMore}
      onRead={read}
      onBack={onBack}
      onClose={onClose}
    />
  );
}

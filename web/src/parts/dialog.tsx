// A question laid over the page: the browser's own dialog, so that focus stays inside and Escape closes it.
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';

export function Dialog({
  title,
  close,
  children,
  wide = false,
}: {
  title: string;
  close: () => void;
  children: ComponentChildren;
  wide?: boolean;
}): JSX.Element {
  const box = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    const before = document.activeElement;
    box.current?.showModal();
    return () => {
      if (before instanceof HTMLElement && before.isConnected) before.focus();
      else document.querySelector<HTMLElement>('h1')?.focus();
    };
  }, []);
  return (
    <dialog
      ref={box}
      class={wide ? 'wide' : undefined}
      aria-labelledby={id}
      onCancel={(event) => {
        event.preventDefault();
        close();
      }}
    >
      <h2 id={id} tabIndex={-1} autofocus>
        {title}
      </h2>
      {children}
    </dialog>
  );
}

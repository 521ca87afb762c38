// The parts of a view that has several.
export function Rooms({ label, here, rooms }: { label: string; here: string; rooms: [string, string][] }) {
  return (
    <nav class="parts" aria-label={label}>
      {rooms.map(([path, word]) => <a key={path} href={`#${path}`} aria-current={path === here ? 'page' : undefined}>{word}</a>)}
    </nav>
  );
}

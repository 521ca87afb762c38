// Finds an ingredient by its name. The keys are those of every such box: arrows choose, Enter takes, Escape closes.
import { useRef, useState } from 'preact/hooks';
import { findInLarder, type Hazard, type Ingredient } from '../api';
import { Hazards } from './hazards';
import { isWord, t } from '../words';

export const kindWord = (kind: string): string => {
  const key = `kind.${kind}`;
  return isWord(key) ? t(key) : kind;
};

export function LarderSearch({ id, label, take }: { id: string; label: string; take(ingredient: Ingredient): void }) {
  const [words, setWords] = useState('');
  const [found, setFound] = useState<Ingredient[] | null>(null);
  const [nearest, setNearest] = useState<string[]>([]);
  const [hazards, setHazards] = useState<Hazard[]>([]);
  const [chosen, setChosen] = useState(-1);
  const asked = useRef('');
  const flying = useRef(false);
  const foundFor = useRef('');
  const wanted = useRef(false); // Enter came before what was typed had been looked up

  const search = async (text: string): Promise<void> => {
    asked.current = text;
    if (flying.current) return;
    flying.current = true;
    let last = '';
    while (last !== asked.current) {
      last = asked.current;
      const reply = last.trim() === '' ? { ingredients: null } : await findInLarder(last).catch(() => ({ ingredients: null }));
      setFound(reply.ingredients);
      setNearest('nearest' in reply ? (reply.nearest ?? []) : []);
      setHazards('hazards' in reply ? (reply.hazards ?? []) : []);
      setChosen(reply.ingredients !== null && reply.ingredients.length > 0 ? 0 : -1);
      foundFor.current = last;
      if (wanted.current && last === asked.current) {
        wanted.current = false;
        pick(reply.ingredients?.[0]);
      }
    }
    flying.current = false;
  };
  const close = (): void => {
    asked.current = '';
    wanted.current = false;
    setFound(null);
    setNearest([]);
    setHazards([]);
  };
  const pick = (ingredient: Ingredient | undefined): void => {
    if (ingredient === undefined) return;
    setWords('');
    close();
    take(ingredient);
  };
  const key = (event: KeyboardEvent): void => {
    if (event.key === 'Enter' && words.trim() !== '' && foundFor.current !== words) {
      wanted.current = true;
      event.preventDefault();
      return;
    }
    if (found === null) return;
    if (event.key === 'ArrowDown') setChosen((chosen + 1) % Math.max(1, found.length));
    else if (event.key === 'ArrowUp') setChosen((chosen + found.length - 1) % Math.max(1, found.length));
    else if (event.key === 'Enter') pick(found[chosen]);
    else if (event.key === 'Escape') close();
    else return;
    event.preventDefault();
  };
  const open = found !== null && found.length > 0;
  return (
    <div class="search">
      <label for={id} class="unseen">{label}</label>
      <input
        id={id} type="text" role="combobox" autocomplete="off" spellcheck={false} placeholder={label} value={words}
        aria-expanded={open} aria-controls={`${id}-list`} aria-autocomplete="list"
        aria-activedescendant={open && chosen >= 0 ? `${id}-${chosen}` : undefined}
        onInput={(event) => { wanted.current = false; setWords(event.currentTarget.value); void search(event.currentTarget.value); }}
        onKeyDown={key} onBlur={() => { if (!wanted.current) close(); }}
      />
      <ul id={`${id}-list`} role="listbox" aria-label={label} hidden={!open}>
        {found?.map((ingredient, index) => (
          <li key={ingredient.id} id={`${id}-${index}`} role="option" aria-selected={index === chosen} onMouseDown={(event) => event.preventDefault()} onClick={() => pick(ingredient)}>
            <span>{ingredient.name}</span> <span class="aside">{kindWord(ingredient.kind)}</span>
          </li>
        ))}
      </ul>
      <p class="hint" role="status">
        {found !== null && found.length === 0 && <>{t('search.empty', { q: words })} {nearest.length > 0 && t('search.near', { names: nearest.map((name) => name.replace(/-/g, ' ')).join(', ') })}</>}
        {open && <span class="unseen">{t('search.count', { n: found.length })}</span>}
      </p>
      <Hazards hazards={hazards} />
    </div>
  );
}

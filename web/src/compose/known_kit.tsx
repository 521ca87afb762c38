// The kit as the gyles brewed with it have shown it, in place of the kit as it is stated. Only there once a gyle has told something.
import { useEffect, useState } from 'preact/hooks';
import { findKits, kitKnown } from '../api';
import { usualKit } from '../brief';
import { ask } from '../live';
import { hear } from '../parts/hear';
import { change, state, usePart } from '../state';
import { t } from '../words';

async function gylesThatTold(kit: string): Promise<number> {
  const known = (await findKits()).some((each) => each.kit === kit && each.gyles > 0);
  return known ? (await kitKnown(kit)).told_by.length : 0;
}

function reckonSo(learned: boolean): void {
  change((all) => {
    all.learned = learned;
    all.sheet = null;
  });
  ask();
}

export function KnownKit() {
  const { brief, learned } = usePart((all) => [all.brief.kit['name'], all.learned, all.settings]);
  const kit = brief.kit['name'] || usualKit;
  const [told, setTold] = useState(0);
  useEffect(() => {
    let left = false;
    const look = (again: boolean) => (): void => void gylesThatTold(kit).then((gyles) => {
      if (left) return;
      setTold(gyles);
      if (!state.learned) return;
      if (gyles === 0) reckonSo(false);
      else if (again) ask(); // one of them has told something else
    }, () => undefined);
    look(false)();
    const deaf = hear('gyle', look(true));
    return () => { left = true; deaf(); };
  }, [kit]);
  if (told === 0) return null;
  return (
    <p class="ticks known-kit">
      <label><input type="checkbox" checked={learned} onChange={(event) => reckonSo(event.currentTarget.checked)} /> {t('kit.as-it-was', { n: told })}</label>
      <a href={`#/kit/${encodeURIComponent(kit)}`}>{t('kit.as-it-was.how')}</a>
    </p>
  );
}

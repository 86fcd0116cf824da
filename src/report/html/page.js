'use strict';
// Filters the table of violations. The filters stand in the address of the page, so that a link shows
// what its sender saw: page.html#building=North&grade=danger
(() => {
  const form = document.getElementById('filters');
  if (!form) return;
  const shown = document.getElementById('shown');
  const controls = Array.from(form.elements).filter((control) => control.name);
  const rows = Array.from(document.querySelectorAll('#violations tbody tr'), (row) => {
    const cells = Array.from(row.cells, (cell) => cell.textContent);
    return { row, cells, text: cells.join('\n').toLowerCase() };
  });

  const apply = () => {
    const words = form.elements.text.value.toLowerCase().split(/\s+/).filter(Boolean);
    const chosen = controls.filter((control) => control.dataset.column && control.value !== '');
    let count = 0;
    for (const { row, cells, text } of rows) {
      const fits = chosen.every((control) => cells[control.dataset.column] === control.value)
        && words.every((word) => text.includes(word));
      row.hidden = !fits;
      if (fits) count += 1;
    }
    const number = (count) => count.toLocaleString('en-GB');
    shown.textContent = `Shown: ${number(count)} of ${number(rows.length)} violations`;
  };

  const read = () => {
    // An anchor of a section is no filter, and leaves the filters as they are.
    if (!location.hash.includes('=')) return;
    const wanted = new URLSearchParams(location.hash.slice(1));
    for (const control of controls) {
      const value = wanted.get(control.name) ?? '';
      control.value = value;
      // A value that no row has shows no row, not all.
      if (control.selectedIndex === -1) control.add(new Option(value, value, false, true));
    }
  };

  const keep = () => {
    const chosen = new URLSearchParams();
    for (const control of controls) {
      if (control.value !== '') chosen.set(control.name, control.value);
    }
    history.replaceState(null, '', `#${chosen.size > 0 ? chosen : 'violations'}`);
  };

  const changed = () => { apply(); keep(); };
  let waiting = 0;
  form.addEventListener('input', () => {
    clearTimeout(waiting);
    waiting = setTimeout(changed, 150);
  });
  form.addEventListener('submit', (event) => event.preventDefault());
  form.addEventListener('reset', () => setTimeout(changed));
  addEventListener('hashchange', () => { read(); apply(); });
  form.hidden = false;
  read();
  apply();
})();

"""What tests ask of a page in the browser's own language."""

LOADED = "() => document.querySelector('.js-plotly-plot')?._fullLayout?.map?._subplot?.map?.loaded()"
# Where the mark drawn last, and so on top, stands on the screen.
TOPMOST_MARK = """() => {
    const plot = document.querySelector('.js-plotly-plot');
    const map = plot._fullLayout.map._subplot.map;
    const marks = plot.calcdata[plot.calcdata.length - 1];
    const corner = map.getCanvas().getBoundingClientRect();
    const at = map.project(marks[marks.length - 1].lonlat);
    return [corner.x + at.x, corner.y + at.y];
}"""
# Brings a place near, and then says where it stands on the screen.
ZOOMED = """([longitude, latitude]) => {
    const plot = document.querySelector('.js-plotly-plot');
    const map = plot._fullLayout.map._subplot.map;
    map.jumpTo({center: [longitude, latitude], zoom: 19});
    const corner = map.getCanvas().getBoundingClientRect();
    const at = map.project([longitude, latitude]);
    return [corner.x + at.x, corner.y + at.y];
}"""
# Words of tables that stand outside the screen or in two lines.
CUT_OR_BROKEN = """() => {
    const found = [], texts = [];
    for (const cell of document.querySelectorAll('.u table td span, .u table th')) {
        const walker = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
        while (walker.nextNode()) texts.push(walker.currentNode);
    }
    const shown = text => getComputedStyle(text.parentElement.closest('table > *')).position != 'absolute';
    for (const text of texts.filter(shown))
        for (const word of text.data.matchAll(/[^\\s\\/-]{2,24}/g)) {
            const range = document.createRange();
            range.setStart(text, word.index);
            range.setEnd(text, word.index + word[0].length);
            const boxes = [...range.getClientRects()], lines = new Set(boxes.map(box => box.y));
            if (lines.size > 1 || boxes.some(box => box.right > innerWidth)) found.push(word[0]);
        }
    return [found, texts.length];
}"""

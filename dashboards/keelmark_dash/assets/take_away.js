/* Charts as pictures, made by the chart library in the browser; words put on the clipboard. Nothing leaves the machine. */
(function () {
  "use strict";

  const spaces = (window.dash_clientside = window.dash_clientside || {});
  const keelmark = (spaces.keelmark = spaces.keelmark || {});
  const WIDTH = 1200;
  const HEIGHT = 500;

  function format() {
    const asked = spaces.callback_context.triggered[0];
    if (!asked || !asked.value) return null;
    return asked.prop_id.indexOf('"take-svg"') >= 0 ? "svg" : "png";
  }

  /* The ground of the page is put behind the picture, which is drawn on nothing. */
  keelmark.picture = function (_png, _svg, chart) {
    const kind = format();
    const graph = kind && document.querySelector("#" + CSS.escape(chart) + " .js-plotly-plot");
    if (!kind) return spaces.no_update;
    if (!graph || !window.Plotly) return "The chart is still being drawn. Try again in a moment.";
    const sheet = getComputedStyle(document.documentElement).getPropertyValue("--sheet").trim();
    const layout = Object.assign({}, graph.layout, { paper_bgcolor: sheet, plot_bgcolor: sheet });
    const drawn = { data: graph.data, layout: layout };
    window.Plotly.downloadImage(drawn, { format: kind, filename: chart, width: WIDTH, height: HEIGHT, scale: 2 });
    return "The picture is in your downloads.";
  };

  function save(blob, name) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = name;
    link.click();
    window.setTimeout(function () { URL.revokeObjectURL(link.href); }, 10000);
  }

  /* A drawing comes from the server as one SVG document; a PNG of it is made here, at twice its size. */
  keelmark.drawn = function (made) {
    if (!made) return spaces.no_update;
    const file = new Blob([made.svg], { type: "image/svg+xml" });
    if (made.kind === "svg") {
      save(file, made.name + ".svg");
      return "The picture is in your downloads.";
    }
    const picture = new Image();
    const address = URL.createObjectURL(file);
    return new Promise(function (done) {
      picture.onload = function () {
        const canvas = document.createElement("canvas");
        canvas.width = picture.naturalWidth * 2;
        canvas.height = picture.naturalHeight * 2;
        canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
        URL.revokeObjectURL(address);
        canvas.toBlob(function (blob) {
          if (blob) save(blob, made.name + ".png");
          done(blob ? "The picture is in your downloads." : "The picture is too large for this browser. Take the SVG.");
        }, "image/png");
      };
      picture.onerror = function () { done("The picture could not be drawn. Take the SVG."); };
      picture.src = address;
    });
  };

  keelmark.copy = function (_pressed, words) {
    if (!_pressed) return spaces.no_update;
    if (!navigator.clipboard) return "Mark the words and copy them by hand.";
    return navigator.clipboard.writeText(words).then(
      function () { return "Copied."; },
      function () { return "Mark the words and copy them by hand."; },
    );
  };
})();

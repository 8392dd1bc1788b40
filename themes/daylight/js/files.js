// Files in and out: a record saved or loaded, a photo made small and freed of all that it carries besides the picture.
"use strict";
const files = (() => {
  const LONGEST_SIDE = 1280;
  const QUALITY = 0.7;

  function save(name, text) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.download = name.replace(/[^\w.-]+/g, "_");
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }

  // Resolves to the chosen file, or never when nothing is chosen.
  function choose(accept, capture) {
    return new Promise((done) => {
      const field = document.createElement("input");
      field.type = "file";
      field.accept = accept;
      field.id = "chosen-file";
      field.hidden = true;
      if (capture) field.setAttribute("capture", "environment");
      field.addEventListener("change", () => {
        field.remove();
        if (field.files[0]) done(field.files[0]);
      });
      document.getElementById(field.id)?.remove();
      document.body.append(field);
      field.click();
    });
  }

  // The picture as a data URI, drawn anew: place, time and device that a camera writes into its files are not copied.
  async function small(file) {
    const picture = await createImageBitmap(file);
    const scale = Math.min(1, LONGEST_SIDE / Math.max(picture.width, picture.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(picture.width * scale));
    canvas.height = Math.max(1, Math.round(picture.height * scale));
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    return canvas.toDataURL("image/jpeg", QUALITY);
  }

  return Object.freeze({ save, choose, small });
})();

// The page that is read back: it is printed, or written as a PDF for the client.
const key = new URL(import.meta.url).searchParams.get("key");

document.body.addEventListener("click", async (event) => {
  const does = event.target.closest("button")?.dataset.act;
  if (does === "print") window.print();
  if (does !== "agree") return;
  const told = document.getElementById("told");
  try {
    const answer = await fetch("/do?key=" + key, {
      method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ do: "agree", look: {} }),
    });
    const said = await answer.json();
    told.textContent = said.told;
    if (!said.refused) {
      const link = document.createElement("a");
      link.href = "/sheets/agreed.pdf?key=" + key;
      link.textContent = " Open it";
      link.target = "_blank";
      told.append(link);
    }
  } catch { told.textContent = "The program does not answer."; }
});

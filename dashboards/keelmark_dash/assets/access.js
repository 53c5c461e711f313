/* A session that is over leads to the sign-in page; what is not open to somebody is said in the page. */
(function () {
  "use strict";

  const ask = window.fetch.bind(window);

  function say(told) {
    const words = told.reference ? told.words + " (" + told.reference + ")" : told.words;
    const remark = {
      namespace: "dash_html_components",
      type: "Div",
      props: { className: "remark refused", role: "alert", children: told.title + ". " + words },
    };
    if (window.dash_clientside && window.dash_clientside.set_props) {
      window.dash_clientside.set_props("shell-said", { children: remark });
      const waiting = document.querySelector("main .soft[role=heading]");
      if (waiting) {
        const heading = { namespace: "dash_html_components", type: "H1", props: { children: "This page could not be shown" } };
        window.dash_clientside.set_props("shell-page", { children: heading });
      }
      window.scrollTo(0, 0);
    }
  }

  function unheard(fault) {
    if (fault.name !== "AbortError") {
      say({ title: "keelmark does not answer", words: "Look whether it still runs, then load this page again." });
    }
    throw fault;
  }

  function hear(answer) {
    if (answer.status === 401) {
      const here = window.location.pathname + window.location.search;
      window.location.assign("/sign-in?next=" + encodeURIComponent(here));
      return new Promise(function () { /* the page is being left: nobody is to make anything of the refusal */ });
    }
    if (answer.status >= 400) {
      answer.clone().json().then(say, function () { /* an answer of another program on the way */ });
    }
    return answer;
  }

  window.fetch = function (where, how) {
    const own = typeof where === "string" && where.indexOf("/_dash-") !== -1;
    return own ? ask(where, how).then(hear, unheard) : ask(where, how);
  };
})();

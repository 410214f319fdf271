(function () {
  "use strict";
  var RAD = Math.PI / 180, TINY = 1e-9, NORMAL = 1.959964, PRESS = 0.001;

  // Evenly spread readings: every harmonic of the model stands by itself, so each is a plain sum.
  function fit(chuck, values, step) {
    var n = values.length, mean = 0, waves = [], left = values.slice(), k;
    values.forEach(function (v) { mean += v / n; });
    for (k = 1; k <= 3; k += 1) {
      var a = 0, b = 0;
      values.forEach(function (v, i) {
        a += 2 / n * v * Math.cos(k * 2 * Math.PI * i / n);
        b += 2 / n * v * Math.sin(k * 2 * Math.PI * i / n);
      });
      waves.push([a, b]);
    }
    left = left.map(function (v, i) {
      var angle = 2 * Math.PI * i / n, rest = v - mean;
      waves.forEach(function (w, j) { rest -= w[0] * Math.cos((j + 1) * angle) + w[1] * Math.sin((j + 1) * angle); });
      return rest;
    });
    var spare = n - 7, square = 0;
    left.forEach(function (v) { square += v * v; });
    var scatter = square / spare, byStep = step * step / 12, each = Math.sqrt(2 / n);
    var x = waves[0][0], y = waves[0][1], e = Math.hypot(x, y);
    var without = values.map(function (v, i) {
      var angle = 2 * Math.PI * i / n;
      return v - mean - x * Math.cos(angle) - y * Math.sin(angle);
    });
    return {
      x: x, y: y, e: e, direction: (Math.atan2(y, x) / RAD + 360) % 360,
      error: each * Math.sqrt(Math.max(scatter, byStep)),
      sure: each * Math.max(NORMAL * Math.sqrt(byStep), chuck.t[n] * Math.sqrt(scatter)),
      second: Math.hypot(waves[1][0], waves[1][1]), third: Math.hypot(waves[2][0], waves[2][1]),
      runOut: Math.max.apply(null, values) - Math.min.apply(null, values),
      rest: Math.max.apply(null, without) - Math.min.apply(null, without)
    };
  }

  function assumedStep(chuck, values) {
    var step = chuck.steps[chuck.steps.length - 1];
    chuck.steps.some(function (s) {
      var all = values.every(function (v) { return Math.abs(v / s - Math.round(v / s)) < 1e-4; });
      if (all) { step = s; }
      return all;
    });
    return step;
  }

  function press(way, screws) {
    var worst = 0;
    [0, 1].forEach(function (i) { worst = Math.max(worst, Math.abs(Math.sin((screws[i + 2] - screws[i]) * RAD))); });
    [0, 2].forEach(function (i) {
      [1, 3].forEach(function (j) { worst = Math.max(worst, Math.abs(Math.cos((screws[i] - screws[j]) * RAD))); });
    });
    return way * worst;
  }

  function turns(chuck, shift) {
    var travels = chuck.screws.map(function (a) { return shift[0] * Math.cos(a * RAD) + shift[1] * Math.sin(a * RAD); });
    function moves(i) { return Math.abs(travels[i]) >= chuck.leastMove; }
    function up(i, j) { return travels[i] - travels[j]; }
    function largest(group) { return Math.max.apply(null, group.map(function (i) { return Math.abs(travels[i]); })); }
    var pairs = [[0, 2], [1, 3]];
    if (largest(pairs[1]) > largest(pairs[0]) + TINY) { pairs.reverse(); }
    var groups = pairs.map(function (pair) { return pair.filter(moves).sort(up); });
    if (press(Math.hypot(shift[0], shift[1]), chuck.screws) > PRESS) {
      var all = [0, 1, 2, 3].filter(moves);
      groups = [all.filter(function (i) { return travels[i] < 0; }).sort(up)
        .concat(all.filter(function (i) { return travels[i] > 0; }).sort(function (i, j) { return up(j, i); }))];
    }
    var list = [];
    groups.filter(function (g) { return g.length; }).forEach(function (group) {
      var bites = Math.max(1, Math.ceil(largest(group) / chuck.largestBite - TINY));
      group.forEach(function (i) {
        list.push({ order: list.length + 1, screw: i + 1, way: travels[i] < 0 ? "ease" : "tighten",
          degrees: Math.abs(travels[i]) / chuck.pitch * 360, bites: bites });
      });
    });
    return list;
  }

  function answer(chuck, values, step, wanted) {
    var f = fit(chuck, values, step), done = Math.max(f.runOut, 2 * f.e) <= wanted + TINY;
    var little = 2 * f.e + chuck.guard * f.sure <= wanted && (f.e <= chuck.sureErrors * f.error || f.rest > wanted);
    var way = Math.min(f.e, Math.max(0, chuck.room)), shift = done || little || !f.e ? [0, 0] : [-f.x / f.e * way, -f.y / f.e * way];
    return { fit: f, done: done, little: !done && little, short: !done && !little && way < f.e - TINY, way: way, turns: turns(chuck, shift) };
  }

  window.gcodegenDial = { fit: fit, turns: turns, answer: answer, assumedStep: assumedStep };

  function Desk(root) {
    var chuck = JSON.parse(root.querySelector("script[type='application/json']").textContent), rounds = [], longest = 0, counted = false;
    function part(name) { return root.querySelector("[data-part='" + name + "']"); }
    function shown(mm) { return (mm / chuck.perUnit).toFixed(chuck.unit === "mm" ? 4 : 5) + " " + chuck.unit; }

    function number(text) {
      var plain = text.trim().replace(",", ".").replace("\u2212", "-");
      return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : NaN;
    }

    function ask() {
      var n = Number(part("count").value), box = part("readings");
      box.textContent = "";
      counted = false;
      for (var i = 0; i < n; i += 1) {
        var label = document.createElement("label"), input = document.createElement("input");
        label.textContent = (360 / n * i) + "\u00b0 ";
        input.type = "text";
        input.inputMode = "decimal";
        input.autocomplete = "off";
        label.appendChild(input);
        box.appendChild(label);
      }
    }

    function say(lines) {
      var box = part("answer");
      box.textContent = "";
      lines.forEach(function (line) {
        var p = document.createElement("p");
        p.textContent = line;
        box.appendChild(p);
      });
    }

    function words(t) {
      var swing = (t.degrees * RAD * chuck.arm / chuck.perUnit).toFixed(chuck.unit === "mm" ? 0 : 1);
      var arm = (chuck.arm / chuck.perUnit).toFixed(chuck.unit === "mm" ? 0 : 1);
      return t.order + ". " + t.way + " screw " + t.screw + " by " + t.degrees.toFixed(0) + " degrees" +
        (t.bites > 1 ? ", in " + t.bites + " bites of " + (t.degrees / t.bites).toFixed(0) : "") +
        " (the key swings " + swing + " " + chuck.unit + " at " + arm + " " + chuck.unit + ")";
    }

    function reckon() {
      var inputs = Array.prototype.slice.call(part("readings").querySelectorAll("input")), bad = [];
      var values = inputs.map(function (input, i) {
        var v = number(input.value);
        input.toggleAttribute("aria-invalid", !isFinite(v));
        if (!isFinite(v)) { bad.push(360 / inputs.length * i); }
        return v * chuck.perUnit;
      });
      var wanted = number(part("wanted").value) * chuck.perUnit, told = part("step").value.trim();
      var step = told ? number(told) * chuck.perUnit : assumedStep(chuck, values);
      var most = Math.max.apply(null, values), least = Math.min.apply(null, values);
      if (bad.length || !(wanted > 0) || !(step >= chuck.stepsRead[0] && step <= chuck.stepsRead[1])) {
        say([bad.length ? "No figure at " + bad.join(", ") + " degrees: type every reading."
          : !(wanted > 0) ? "Type the run-out wanted." : "Type the least step that you read: " + shown(chuck.stepsRead[0]) + " to " + shown(chuck.stepsRead[1]) + "."]);
        return;
      }
      if (most - least > chuck.largestRunOut) {
        say(["The readings lie " + shown(most - least) + " apart, and no chuck in working order runs out by more than " +
          shown(chuck.largestRunOut) + ". Write them in " + chuck.unit + ": hundredths or thousandths want their decimal point. No turns are given."]);
        return;
      }
      var a = answer(chuck, values, step, wanted), f = a.fit, lines = [];
      lines.push("Run-out as read " + shown(f.runOut) + "; off centre " + shown(f.e) + " (standard error " + shown(f.error) +
        "), high spot at " + f.direction.toFixed(0) + " degrees from screw 1.");
      lines.push("Not for the screws: two lobes " + shown(f.second) + ", three lobes " + shown(f.third) +
        " (an oval bar; three jaws).");
      if (a.done) {
        lines.push("Done: within the figure wanted. If the bolts were not at their torque, tighten them and read once more.");
      } else if (a.little) {
        lines.push("The screws have no more to give: what is left is the part's shape or the indicator's step.");
      } else {
        a.turns.forEach(function (t) { lines.push(words(t)); });
        if (a.turns.length > 1) { lines.push("In bites: the first bite of each screw of a pair, then the second. Never two opposite screws loose."); }
        if (a.short) { lines.push("The float ends before that: it goes " + shown(a.way) + ", stopped by the " + chuck.stoppedBy + "."); }
      }
      if (!told) { lines.push("The indicator is taken to be read to " + shown(step) + "; type its step above to be surer."); }
      lines.push("A jump, a doubtful reading, two planes or another spread of places: gcodegen dial says more.");
      say(lines);
      // A reading put right and reckoned again is still the same round.
      if (counted) { rounds.pop(); part("rounds").deleteRow(-1); }
      counted = true;
      rounds.push(f.runOut);
      var row = part("rounds").insertRow(-1);
      [["Round", rounds.length], ["Run-out", shown(f.runOut)], ["Off centre", shown(f.e)], ["So", a.done ? "done" : "go on"]]
        .forEach(function (pair) {
          var cell = row.insertCell(-1);
          cell.textContent = pair[1];
          cell.setAttribute("data-head", pair[0]);
        });
      var chart = document.createElement("progress");
      longest = Math.max(longest, f.runOut, wanted);
      chart.max = longest;
      chart.value = f.runOut;
      chart.setAttribute("aria-label", "run-out of round " + rounds.length);
      row.insertCell(-1).appendChild(chart);
      Array.prototype.forEach.call(part("rounds").querySelectorAll("progress"), function (bar) { bar.max = longest; });
    }

    part("count").addEventListener("change", ask);
    part("reckon").addEventListener("click", reckon);
    part("clear").addEventListener("click", function () { ask(); say([]); });
    root.addEventListener("keydown", function (event) {
      if (event.key !== "Enter" || !event.target.matches("[data-part='readings'] input")) { return; }
      var all = Array.prototype.slice.call(part("readings").querySelectorAll("input")), next = all[all.indexOf(event.target) + 1];
      if (next) { next.focus(); } else { reckon(); }
      event.preventDefault();
    });
    ask();
    root.classList.add("ready");
  }

  Array.prototype.forEach.call(document.querySelectorAll("[data-dial]"), Desk);
}());

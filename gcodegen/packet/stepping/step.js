(function () {
  "use strict";
  function hull(points) {
    var p = points.slice().sort(function (a, b) { return a[0] - b[0] || a[1] - b[1]; });
    function half(list) {
      var out = [];
      list.forEach(function (c) {
        while (out.length > 1) {
          var a = out[out.length - 2], b = out[out.length - 1];
          if ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0) { break; }
          out.pop();
        }
        out.push(c);
      });
      out.pop();
      return out;
    }
    return half(p).concat(half(p.reverse()));
  }

  function pathOf(points) {
    return "M" + points.map(function (p) { return p[0].toFixed(3) + " " + p[1].toFixed(3); }).join("L") + "Z";
  }

  function node(name, attributes, parent) {
    var made = document.createElementNS(parent.namespaceURI, name);
    Object.keys(attributes).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    parent.appendChild(made);
    return made;
  }

  function Player(root) {
    this.root = root;
    this.data = JSON.parse(root.querySelector("script[type='application/json']").textContent);
    this.mill = this.data.on === "mill";
    this.size = this.mill ? 3 : 2;
    this.views = Array.prototype.map.call(root.querySelectorAll("svg[data-view]"), function (svg) {
      return {
        kind: svg.getAttribute("data-view"), tool: svg.querySelector("[data-tool]"),
        cuts: svg.querySelector("[data-cuts]"), work: svg.querySelector("[data-work]"), paths: {}, shown: null
      };
    });
    this.rows = root.querySelectorAll("[data-line]");
    this.part = function (name) { return root.querySelector("[data-part='" + name + "']"); };
    this.stations = this.listStations();
    this.stopAt = {};
    this.data.stops.forEach(function (s) { this.stopAt[s[0]] = s[1]; }, this);
    this.at = 0;
    this.cutTo = 0;
    this.timer = 0;
    this.wire();
    this.show(0);
    root.classList.add("ready");
  }

  Player.prototype.listStations = function () {
    var list = [], next = 0, moves = this.data.moves;
    for (var line = 1; line <= this.data.lines; line += 1) {
      var any = false;
      while (next < moves.length && moves[next][0] <= line) { list.push([line, next]); next += 1; any = true; }
      if (!any) { list.push([line, -1]); }
    }
    return list;
  };

  Player.prototype.point = function (move, back) {
    var from = back ? 6 : move.length - this.size;
    return move.slice(from, from + this.size);
  };

  // The last motion made at a station: where the tool stands and how the work is turned.
  Player.prototype.lastMove = function (station) {
    for (var k = station; k >= 0; k -= 1) {
      if (this.stations[k][1] >= 0) { return this.data.moves[this.stations[k][1]]; }
    }
    return null;
  };

  Player.prototype.place = function (view, point) {
    if (view.kind === "end") { return [point[1], -point[2]]; }
    if (view.kind === "side") { return [point[0], -point[2]]; }
    return [point[1], -point[0] / 2];
  };

  Player.prototype.outline = function (part, at, mirrored) {
    var points = part.map(function (p) { return [at[0] + p[0], at[1] - p[1]]; });
    if (mirrored) { points = points.concat(part.map(function (p) { return [at[0] - p[0], at[1] - p[1]]; })); }
    return points;
  };

  Player.prototype.sweep = function (view, move, upTo) {
    var tool = this.data.tools[move[3]], out = "";
    if (!tool || move[1] === 0) { return out; }
    var end = upTo === undefined ? move.length - this.size : upTo;
    for (var i = 6; i < end; i += this.size) {
      var a = this.place(view, move.slice(i, i + this.size));
      var b = this.place(view, move.slice(i + this.size, i + 2 * this.size));
      out += pathOf(hull(this.outline(tool.cut, a, this.mill).concat(this.outline(tool.cut, b, this.mill))));
    }
    return out;
  };

  Player.prototype.cutUntil = function (station) {
    var self = this;
    if (station < this.cutTo) {
      this.views.forEach(function (view) { view.paths = {}; view.cuts.textContent = ""; view.shown = null; });
      this.cutTo = 0;
    }
    for (var k = this.cutTo; k <= station; k += 1) {
      var index = this.stations[k][1];
      if (index < 0) { continue; }
      var move = this.data.moves[index];
      this.views.forEach(function (view) {
        var d = self.sweep(view, move);
        if (d) { view.paths[move[2]] = (view.paths[move[2]] || "") + d; view.shown = null; }
      });
    }
    this.cutTo = station + 1;
  };

  Player.prototype.drawCuts = function (view, turn) {
    var key = view.kind === "end" ? "all" : String(turn);
    if (view.shown === key) { return; }
    view.shown = key;
    view.cuts.textContent = "";
    Object.keys(view.paths).forEach(function (own) {
      if (view.kind === "end") {
        var r = view.work.getAttribute("data-radius");
        node("path", { d: view.paths[own], "class": "cut", transform: "rotate(" + (-own) + " 0 " + r + ")" }, view.cuts);
      } else if (Math.abs(((own - turn) % 360 + 540) % 360 - 180) < 0.05) {
        node("path", { d: view.paths[own], "class": "cut" }, view.cuts);
      }
    });
  };

  Player.prototype.drawTool = function (view, number, point) {
    var tool = this.data.tools[number], self = this;
    view.tool.textContent = "";
    if (!tool) { return; }
    var at = this.place(view, point);
    tool.parts.forEach(function (part, k) {
      node("path", { d: pathOf(hull(self.outline(part, at, self.mill))), "class": k ? "shank" : "tool" }, view.tool);
    });
    view.tool.setAttribute("data-x", at[0].toFixed(4));
    view.tool.setAttribute("data-y", at[1].toFixed(4));
  };

  Player.prototype.draw = function (move, point, turn) {
    this.views.forEach(function (view) {
      if (view.work) {
        view.work.setAttribute("transform", "rotate(" + turn + " 0 " + view.work.getAttribute("data-radius") + ")");
      }
      this.drawCuts(view, turn);
      if (move) { this.drawTool(view, move[3], point); } else { view.tool.textContent = ""; }
    }, this);
  };

  Player.prototype.show = function (station) {
    station = Math.max(0, Math.min(this.stations.length - 1, station));
    this.at = station;
    var line = this.stations[station][0], move = this.lastMove(station);
    this.cutUntil(station);
    this.draw(move, move ? this.point(move) : null, move ? move[2] : 0);
    this.mark(line);
    this.tell(line, move);
    this.part("slider").value = station;
  };

  Player.prototype.mark = function (line) {
    if (this.now) { this.now.removeAttribute("aria-current"); }
    this.now = this.rows[line - 1];
    if (!this.now) { return; }
    this.now.setAttribute("aria-current", "step");
    var box = this.part("blocks"), top = this.now.offsetTop;
    if (top < box.scrollTop || top > box.scrollTop + box.clientHeight - 40) { box.scrollTop = top - box.clientHeight / 3; }
  };

  Player.prototype.figure = function (mm) {
    return (mm / this.data.perUnit).toFixed(this.data.unit === "mm" ? 3 : 4);
  };

  Player.prototype.tell = function (line, move) {
    var names = this.mill ? ["x", "y", "z"] : ["x", "z"], point = move ? this.point(move) : null;
    names.forEach(function (name, k) { this.part(name).textContent = point ? this.figure(point[k]) : "?"; }, this);
    if (this.mill) { this.part("turn").textContent = move ? String(move[2]) : "0"; }
    var tool = move && this.data.tools[move[3]];
    this.part("tool").textContent = tool ? tool.name : "none";
    this.part("spindle").textContent = !move || move[4] === 0 ? "stands" : move[4] > 0 ? "turns clockwise" : "turns counter-clockwise";
    var how = move && move[0] === line ? (move[1] === 0 ? "rapid" : "feed " + this.figure(move[5]) + " a minute") : "no move";
    this.part("how").textContent = how;
    var stop = this.stopAt[line];
    this.part("said").textContent = "Line " + line + " of " + this.data.lines + (stop ? ". Stop for you: " + stop : "");
  };

  Player.prototype.line = function (line) {
    for (var k = 0; k < this.stations.length; k += 1) {
      if (this.stations[k][0] >= line) { this.show(k); return; }
    }
  };

  // Runs on: each move takes its own time, shortened by the chosen factor.
  Player.prototype.run = function () {
    var self = this, started = null, still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    if (this.timer) { this.hold(); return; }
    this.part("run").textContent = "Hold";
    function duration(station) {
      var index = self.stations[station][1];
      if (index < 0 || still) { return 0.25; }
      var move = self.data.moves[index], a = self.point(move, true), b = self.point(move), far = 0;
      a.forEach(function (v, k) { far += (v - b[k]) * (v - b[k]); });
      var feed = move[1] === 0 || !move[5] ? self.data.rapid : move[5];
      return Math.min(8, Math.max(0.12, Math.sqrt(far) / feed * 60 / Number(self.part("speed").value)));
    }
    function tick(now) {
      if (!self.timer) { return; }
      if (self.at >= self.stations.length - 1) { self.hold(); return; }
      if (started === null) { started = now; }
      var next = self.at + 1, share = (now - started) / 1000 / duration(next), index = self.stations[next][1];
      if (share >= 1) {
        started = now;
        self.show(next);
        if (self.stopAt[self.stations[next][0]] && self.stations[next][1] < 0) { self.hold(); return; }
      } else if (index >= 0 && !still) {
        var move = self.data.moves[index], a = self.point(move, true), b = self.point(move);
        if (move.length === 6 + 2 * self.size) {
          self.draw(move, a.map(function (v, k) { return v + (b[k] - v) * share; }), move[2]);
        }
      }
      self.timer = window.requestAnimationFrame(tick);
    }
    this.timer = window.requestAnimationFrame(tick);
  };

  Player.prototype.hold = function () {
    window.cancelAnimationFrame(this.timer);
    this.timer = 0;
    this.part("run").textContent = "Run";
  };

  Player.prototype.wire = function () {
    var self = this;
    function press(name, act) { self.part(name).addEventListener("click", act); }
    press("start", function () { self.hold(); self.show(0); });
    press("back", function () { self.hold(); self.show(self.at - 1); });
    press("on", function () { self.hold(); self.show(self.at + 1); });
    press("end", function () { self.hold(); self.show(self.stations.length - 1); });
    press("run", function () { self.run(); });
    var slider = this.part("slider");
    slider.max = this.stations.length - 1;
    slider.addEventListener("input", function () { self.hold(); self.show(Number(slider.value)); });
    this.part("goal").addEventListener("change", function (event) {
      if (event.target.value) { self.hold(); self.line(Number(event.target.value)); }
    });
    this.part("blocks").addEventListener("click", function (event) {
      var row = event.target.closest("[data-line]");
      if (row) { self.hold(); self.line(Number(row.getAttribute("data-line"))); }
    });
    this.root.addEventListener("keydown", function (event) {
      if (event.target.matches("input, select, button") && event.key !== "Escape") { return; }
      var act = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[event.key];
      if (act) { self.hold(); self.show(self.at + act); event.preventDefault(); }
      if (event.key === "Home") { self.hold(); self.show(0); event.preventDefault(); }
      if (event.key === "End") { self.hold(); self.show(self.stations.length - 1); event.preventDefault(); }
      if (event.key === " ") { self.run(); event.preventDefault(); }
    });
  };

  window.gcodegenSteps = Array.prototype.map.call(document.querySelectorAll("[data-player]"), function (root) {
    return new Player(root);
  });
}());

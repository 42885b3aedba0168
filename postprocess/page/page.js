// The page's moving parts: two pressure maps under a slider, and the metatarsals in space (three.js). Without them the
// page still holds every map and picture.
(function () {
  'use strict';

  function make(tag, attributes, children) {
    var element = document.createElement(tag);
    Object.keys(attributes || {}).forEach(function (name) { element.setAttribute(name, attributes[name]); });
    (children || []).forEach(function (child) {
      element.appendChild(typeof child === 'string' ? document.createTextNode(child) : child);
    });
    return element;
  }

  function choice(label, names, chosen) {
    var select = make('select', {}, names.map(function (name, i) {
      var option = make('option', { value: i }, [name]);
      option.selected = i === chosen;
      return option;
    }));
    return { label: make('label', {}, [label, select]), select: select };
  }

  // ---- two maps, one over the other
  function pressurePair() {
    var place = document.getElementById('pressure-pair');
    var maps = Array.prototype.slice.call(document.querySelectorAll('.map'));
    if (!place || maps.length < 2)
      return;
    var names = maps.map(function (m) { return m.dataset.letter + '  ' + m.dataset.name; });
    var left = choice('Left of the slider', names, 0), right = choice('Right of the slider', names, 1);
    var stage = make('div', { 'class': 'stage' });
    var range = make('input', { type: 'range', min: 0, max: 100, value: 50, step: 1, id: 'pressure-slider',
      'aria-label': 'Share of the left design’s map that is shown, per cent' });
    var ends = make('div', { 'class': 'ends' });
    var over;
    var edge = make('div', { 'class': 'edge' });
    function slide() {
      over.style.clipPath = 'inset(0 0 0 ' + range.value + '%)';
      edge.style.left = range.value + '%';
      range.setAttribute('aria-valuetext', range.value + ' % ' + names[left.select.value]);
    }
    function show() {
      stage.textContent = ends.textContent = '';
      var under = maps[left.select.value].querySelector('svg').cloneNode(true);
      over = maps[right.select.value].querySelector('svg').cloneNode(true);
      [under, over, edge].forEach(function (part) { stage.appendChild(part); });
      ends.appendChild(make('span', {}, ['◀ ' + names[left.select.value]]));
      ends.appendChild(make('span', {}, [names[right.select.value] + ' ▶']));
      slide();
    }
    function follow(event) {
      var box = stage.getBoundingClientRect();
      range.value = Math.round(100 * (event.clientX - box.left) / box.width);
      slide();
    }
    stage.addEventListener('pointerdown', function (event) { stage.setPointerCapture(event.pointerId); follow(event); });
    stage.addEventListener('pointermove', function (event) { if (event.buttons) follow(event); });
    left.select.addEventListener('change', show);
    right.select.addEventListener('change', show);
    range.addEventListener('input', slide);
    [make('div', { 'class': 'tools' }, [left.label, right.label]), stage, range, ends].forEach(function (part) {
      place.appendChild(part);
    });
    show();
    place.hidden = false;
  }

  // ---- numbers packed as base64
  function bytes(text) {
    var raw = atob(text), array = new Uint8Array(raw.length);
    for (var i = 0; i < raw.length; ++i)
      array[i] = raw.charCodeAt(i);
    return array.buffer;
  }
  function numbers(text, unit) {
    return Float32Array.from(new Int16Array(bytes(text)), function (n) { return n * unit; });
  }

  // ---- bones in space
  function bonesInSpace() {
    var place = document.getElementById('bones-turn'), source = document.getElementById('scene');
    if (!place || !source || !window.THREE)
      return;
    var canvas = make('canvas', {});
    var context = null;
    try {
      context = canvas.getContext('webgl', { antialias: true, preserveDrawingBuffer: true });
    } catch (error) { context = null; }
    if (!context)
      return; // the picture stays
    var data = JSON.parse(source.textContent), T = window.THREE;
    var renderer = new T.WebGLRenderer({ canvas: canvas, context: context, antialias: true, preserveDrawingBuffer: true });
    renderer.setPixelRatio(Math.min(2, window.devicePixelRatio || 1));
    renderer.setClearColor(0xffffff);
    var scene = new T.Scene(), foot = new T.Group(), camera = new T.OrthographicCamera(-1, 1, 1, -1, 1, 2000);
    camera.position.set(0, 0, 800);
    scene.add(foot);
    scene.add(new T.AmbientLight(0xffffff, 0.7));
    [[-0.7, 0.6, 1, 0.42], [0.9, -0.2, 1, 0.18]].forEach(function (l) {
      var light = new T.DirectionalLight(0xffffff, l[3]);
      light.position.set(l[0], l[1], l[2]);
      scene.add(light);
    });

    var designs = data.designs.map(function (d) {
      return { name: d.letter + '  ' + d.name, points: numbers(d.points, 0.01), stress: numbers(d.stress, 2 * data.limit / 32767),
        surface: d.surface ? numbers(d.surface, 0.01) : null, lines: d.lines.map(function (l) { return numbers(l, 0.01); }) };
    });
    var triangles = new Uint16Array(bytes(data.triangles));
    var centre = new T.Box3().setFromArray(designs[0].points).getCenter(new T.Vector3());
    var colours = [];
    for (var i = 0; i <= 128; ++i)
      colours.push([0, 2, 4].map(function (k) { return parseInt(data.colours.substr(6 * i + k, 2), 16) / 255; }));

    var inner = new T.Group(); // the foot's own axes about its middle
    inner.position.copy(centre).negate();
    foot.add(inner);
    var bones = new T.Mesh(new T.BufferGeometry(),
      new T.MeshLambertMaterial({ vertexColors: T.VertexColors, side: T.DoubleSide }));
    var sole = new T.Group();
    inner.add(bones);
    inner.add(sole);

    var grid = [];
    for (var a = 0; a + 1 < data.surface[0]; ++a)
      for (var b = 0; b + 1 < data.surface[1]; ++b) {
        var first = a * data.surface[1] + b, next = first + data.surface[1];
        grid.push(first, first + 1, next + 1, first, next + 1, next);
      }

    var names = designs.map(function (d) { return d.name; });
    var shown = choice('Design', names, 0);
    var base = choice('Colours', ['its stress'].concat(names.map(function (n) { return 'difference to ' + n; })), 0);
    var withSole = make('input', { type: 'checkbox' });
    withSole.checked = true;
    var rampLow = make('span', {}), rampHigh = make('span', {}), ramp = make('canvas', { width: 129, height: 1 });
    ramp.setAttribute('aria-hidden', 'true');
    var pen = ramp.getContext('2d');
    colours.forEach(function (c, k) {
      pen.fillStyle = 'rgb(' + c.map(function (x) { return Math.round(255 * x); }).join(',') + ')';
      pen.fillRect(k, 0, 1, 1);
    });

    var space = make('div', { 'class': 'space', tabindex: 0, role: 'application',
      'aria-label': 'The five metatarsals in space: arrow keys turn them, plus and minus change their size' }, [canvas]);
    var labels = data.heads.map(function (h, r) {
      var label = make('span', { 'class': 'ray' + (r + 1 === data.painful ? ' hurts' : '') }, [String(r + 1)]);
      space.appendChild(label);
      return { element: label, at: new T.Vector3(h[0], h[1], h[2]) };
    });

    var zoom = 1;
    function draw() {
      var width = space.clientWidth, height = space.clientHeight;
      if (!width || !height)
        return;
      renderer.setSize(width, height, false);
      var half = 52 / zoom, wide = half * width / height;
      if (wide < 55 / zoom) { half *= 55 / zoom / wide; wide = 55 / zoom; }
      camera.left = -wide; camera.right = wide; camera.top = half; camera.bottom = -half;
      camera.updateProjectionMatrix();
      renderer.render(scene, camera);
      labels.forEach(function (label) {
        var p = label.at.clone().applyMatrix4(inner.matrixWorld).project(camera);
        label.element.style.transform = 'translate(' + ((p.x + 1) / 2 * width - 5) + 'px,' + ((1 - p.y) / 2 * height - 12) + 'px)';
      });
    }
    function show() {
      var d = designs[shown.select.value], other = base.select.value > 0 ? designs[base.select.value - 1] : null;
      var stress = other ? d.stress.map(function (s, k) { return Math.abs(s) - Math.abs(other.stress[k]); }) : d.stress;
      var limit = data.limit;
      var tint = new Float32Array(3 * stress.length);
      stress.forEach(function (s, k) {
        var c = colours[Math.round(64 * (1 + Math.max(-1, Math.min(1, s / limit))))];
        tint.set(c, 3 * k);
      });
      bones.geometry.dispose();
      var geometry = bones.geometry = new T.BufferGeometry();
      geometry.setIndex(new T.BufferAttribute(triangles, 1));
      geometry.setAttribute('position', new T.BufferAttribute(d.points, 3));
      geometry.setAttribute('color', new T.BufferAttribute(tint, 3));
      geometry.computeVertexNormals();
      sole.children.slice().forEach(function (child) { child.geometry.dispose(); sole.remove(child); });
      if (d.surface && withSole.checked) {
        var surface = new T.BufferGeometry();
        surface.setIndex(grid);
        surface.setAttribute('position', new T.BufferAttribute(d.surface, 3));
        surface.computeVertexNormals();
        sole.add(new T.Mesh(surface, new T.MeshLambertMaterial({ color: 0xd9cdb8, side: T.DoubleSide, transparent: true,
          opacity: 0.55, depthWrite: false })));
        d.lines.forEach(function (line) {
          var edge = new T.BufferGeometry();
          edge.setAttribute('position', new T.BufferAttribute(line, 3));
          sole.add(new T.Line(edge, new T.LineBasicMaterial({ color: 0x7a3e08 })));
        });
      }
      var what = other ? ' MPa against ' + other.name.charAt(0) : ' MPa';
      rampLow.textContent = '−' + limit + (other ? ' (less stressed)' : ' (compression)');
      rampHigh.textContent = '+' + limit + what + (other ? ' (more stressed)' : ' (tension)');
      draw();
    }
    function turn(about, angle) {
      foot.quaternion.premultiply(new T.Quaternion().setFromAxisAngle(about, angle));
      draw();
    }
    var across = new T.Vector3(1, 0, 0), upwards = new T.Vector3(0, 1, 0);
    // Eye (distal, medial, up) in the foot's axes; toes towards the page's top where that is possible.
    function lookFrom(eye, top) {
      var z = new T.Vector3(eye[0], data.left ? -eye[1] : eye[1], eye[2]).normalize();
      var x = new T.Vector3().crossVectors(new T.Vector3(top[0], top[1], top[2]), z).normalize();
      var y = new T.Vector3().crossVectors(z, x);
      var turned = new T.Matrix4().makeBasis(x, y, z);
      foot.quaternion.setFromRotationMatrix(turned.getInverse(turned));
      draw();
    }
    function button(words, action) {
      var b = make('button', { type: 'button' }, [words]);
      b.addEventListener('click', action);
      return b;
    }
    function scale(factor) { zoom = Math.max(0.5, Math.min(6, zoom * factor)); draw(); }
    var views = {
      'From above': function () { lookFrom([-0.3, 0.3, 1], [1, 0, 0]); },
      'From below': function () { lookFrom([-0.3, 0.3, -1], [1, 0, 0]); },
      'From the medial side': function () { lookFrom([-0.15, 1, 0.25], [0, 0, 1]); }
    };
    var last = null;
    space.addEventListener('pointerdown', function (event) {
      space.setPointerCapture(event.pointerId);
      last = [event.clientX, event.clientY];
    });
    space.addEventListener('pointermove', function (event) {
      if (!last || !event.buttons)
        return;
      turn(upwards, (event.clientX - last[0]) / 150);
      turn(across, (event.clientY - last[1]) / 150);
      last = [event.clientX, event.clientY];
    });
    space.addEventListener('keydown', function (event) {
      var done = true;
      if (event.key === 'ArrowLeft') turn(upwards, -0.12);
      else if (event.key === 'ArrowRight') turn(upwards, 0.12);
      else if (event.key === 'ArrowUp') turn(across, -0.12);
      else if (event.key === 'ArrowDown') turn(across, 0.12);
      else if (event.key === '+' || event.key === '=') scale(1.15);
      else if (event.key === '-') scale(1 / 1.15);
      else done = false;
      if (done)
        event.preventDefault();
    });
    [shown.select, base.select, withSole].forEach(function (input) { input.addEventListener('change', show); });
    window.addEventListener('resize', draw);
    var tools = [shown.label, base.label, make('label', {}, ['Insole’s surface', withSole])].concat(
      Object.keys(views).map(function (name) { return button(name, views[name]); }),
      [button('Larger', function () { scale(1.15); }), button('Smaller', function () { scale(1 / 1.15); })]);
    [make('div', { 'class': 'tools' }, tools), space, make('div', { 'class': 'ramp' }, [rampLow, ramp, rampHigh])].forEach(
      function (part) { place.appendChild(part); });
    place.hidden = false;
    document.body.classList.add('turns');
    if (!document.querySelector('#bones-picture img')) { // nothing else to print
      place.classList.remove('screen');
      document.getElementById('bones-picture').hidden = true;
    }
    views['From above']();
    show();
  }

  pressurePair();
  bonesInSpace();
}());

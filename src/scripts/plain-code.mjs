// Rewrites what the build takes from packages so that it runs under a policy that forbids evaluating text and inline styles.

/**
 * The binding of essentia.js (embind, as Emscripten wrote it) with closures in the place of the functions that it makes out
 * of text with `new Function`. They do the same in the same order. Throws when the package is not the one it was written for.
 */
export function plainClosures(code) {
  return swapAll(code, [
    [
      'function createNamedFunction(',
      'function extendError(',
      `function createNamedFunction(name, body) {
        const made = function () { 'use strict'; return body.apply(this, arguments); };
        return Object.defineProperty(made, 'name', { value: makeLegalFunctionName(name) });
      }`,
    ],
    [
      'function makeDynCaller(',
      'var dc=Module["dynCall_"+signature]',
      `function makeDynCaller(dynCall) {
        switch (signature.length) {
          case 1: return () => dynCall(rawFunction);
          case 2: return (a) => dynCall(rawFunction, a);
          case 3: return (a, b) => dynCall(rawFunction, a, b);
          case 4: return (a, b, c) => dynCall(rawFunction, a, b, c);
          default: return (...args) => dynCall(rawFunction, ...args.slice(0, signature.length - 1));
        }
      }`,
    ],
    [
      'var invokerFnBody="return function "',
      'function __embind_register_class_function(',
      `var expected = argCount - 2;
      return function () {
        if (arguments.length !== expected) {
          throwBindingError('function ' + humanName + ' called with ' + arguments.length + ' arguments, expected ' + expected + ' args!');
        }
        var destructors = needsDestructorStack ? [] : null;
        var wired = [cppTargetFunc];
        if (isClassMethodFunc) wired.push(argTypes[1].toWireType(destructors, this));
        var first = wired.length;
        for (var i = 0; i < expected; ++i) wired.push(argTypes[i + 2].toWireType(destructors, arguments[i]));
        var rv = cppInvokerFunc(...wired);
        if (needsDestructorStack) runDestructors(destructors);
        else {
          for (var k = isClassMethodFunc ? 1 : 2; k < argTypes.length; ++k) {
            if (argTypes[k].destructorFunction !== null) argTypes[k].destructorFunction(wired[first + k - 2]);
          }
        }
        if (returns) return argTypes[0].fromWireType(rv);
      };
    }`,
    ],
    [
      'var signatureName=retType.name+"_$"',
      'function __emval_get_module_property(',
      `return __emval_addMethodCaller(function (handle, name, destructors, args) {
        var values = [];
        var offset = 0;
        for (var i = 1; i < argCount; ++i) {
          values.push(types[i].readValueFromPointer(args + offset));
          offset += types[i]['argPackAdvance'];
        }
        var rv = handle[name](...values);
        for (var k = 1; k < argCount; ++k) if (types[k]['deleteObject']) types[k].deleteObject(values[k - 1]);
        if (!retType.isVoid) return retType.toWireType(destructors, rv);
      });
    }`,
    ],
    [
      'function craftEmvalAllocator(',
      'var emval_newers=',
      `function craftEmvalAllocator(argCount) {
        return function (constructor, argTypes, args) {
          var values = [];
          for (var i = 0; i < argCount; ++i) {
            var type = requireRegisteredType(Module['HEAP32'][(argTypes >>> 2) + i], 'parameter ' + i);
            values.push(type.readValueFromPointer(args));
            args += type['argPackAdvance'];
          }
          return __emval_register(new constructor(...values));
        };
      }`,
    ],
    ['if(typeof globalThis==="object"){return globalThis}', 'function __emval_get_global(', 'return globalThis; }'],
  ]);
}

/** wavesurfer.js with its stylesheet adopted instead of written into its shadow root as an element. */
export function adoptedStyles(code) {
  const found = /(\w+)\.innerHTML=`\\n\s*<style\$\{[^`]*`[^`]*`[^`]*\}>([^`]*?)<\/style>/.exec(code);
  if (!found) throw new Error('wavesurfer.js: its style element was not found');
  const [whole, root, css] = found;
  return code.replace(
    whole,
    () =>
      `${root}.adoptedStyleSheets=[new CSSStyleSheet()],${root}.adoptedStyleSheets[0].replaceSync(\`${css}\`),${root}.innerHTML=\``,
  );
}

/** Each [from, to, instead]: what lies from `from` up to `to` becomes `instead`. */
function swapAll(code, swaps) {
  let out = code;
  for (const [from, to, instead] of swaps) {
    const start = out.indexOf(from);
    const end = out.indexOf(to, start);
    if (start < 0 || end < 0 || out.indexOf(from, start + 1) >= 0)
      throw new Error(`essentia.js: "${from}" was not found once in its binding`);
    out = out.slice(0, start) + instead + out.slice(end);
  }
  if (/\bnew_?\(?\s*Function\b/.test(out)) throw new Error('essentia.js: a function is still made out of text');
  return out;
}

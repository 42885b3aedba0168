// The TOML library, with its internal assertions turned into exceptions: on some wrong files they fire where
// an error message is due. Include this, never the library itself.
#pragma once
#include <stdexcept>

namespace raybend {

/// The library met text that it does not expect: the file is not valid TOML.
struct TomlAssertion : std::runtime_error {
  using std::runtime_error::runtime_error;
};

[[noreturn]] inline void toml_assertion_failed() {
  throw TomlAssertion("a key or value stands where none can");
}

} // namespace raybend

#define TOML_ASSERT(condition)                                                                               \
  do {                                                                                                       \
    if (!(condition))                                                                                        \
      raybend::toml_assertion_failed();                                                                      \
  } while (false)
#define TOML_MAX_NESTED_VALUES 16 // a case nests four deep; the parser calls itself for each level
#include <toml++/toml.h>

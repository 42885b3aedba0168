// The TOML library, with its internal assertions turned into exceptions: on some wrong files they fire where
// an error message is due. Include this, never the library itself.
#pragma once
#include <stdexcept>

namespace raybend {

/// The library met text that it does not expect: the file is not valid TOML.
struct TomlAssertion : std::runtime_error {
  TomlAssertion() : std::runtime_error("a key or value stands where none can") {}
};

} // namespace raybend

#define TOML_ASSERT(condition)                                                                               \
  do {                                                                                                       \
    if (!(condition))                                                                                        \
      throw raybend::TomlAssertion();                                                                        \
  } while (false)
#define TOML_ASSERT_ASSUME(condition) TOML_ASSERT(condition)
#include <toml++/toml.h>

// Width of the processor's vectors.
#pragma once

namespace raybend {

/// Bytes of the processor's widest vectors.
#ifdef __AVX512F__
constexpr unsigned lane_bytes = 64;
#else
constexpr unsigned lane_bytes = 32;
#endif

/// Numbers in one of them.
template <typename Number> constexpr unsigned lanes_of = lane_bytes / sizeof(Number);

} // namespace raybend

// Bytes as text of a page: base64, hashes, a smaller copy of a picture.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

namespace raybend {

std::string base64(const std::string &bytes);
/// Of whole numbers with two bytes each, little end first.
std::string base64(const std::vector<std::int16_t> &numbers);

std::string sha256_hex(const std::string &bytes);
/// As a content security policy names a script or style: "sha256-...".
std::string policy_hash(const std::string &bytes);

/// A JPEG, half as wide and high, of a PNG file; empty where it cannot be read.
std::string half_size_jpeg(const std::string &png_path);

} // namespace raybend

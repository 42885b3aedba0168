// Bytes as text of a page: base64 and SHA-256 by OpenSSL, a smaller copy of a picture by VTK.
#include "postprocess/page/encoding.hpp"
#include <openssl/evp.h>
#include <stdexcept>
#include <vtkImageData.h>
#include <vtkJPEGWriter.h>
#include <vtkNew.h>
#include <vtkPNGReader.h>
#include <vtkUnsignedCharArray.h>

namespace raybend {

std::string base64(const std::string &bytes) {
  std::string text(4 * ((bytes.size() + 2) / 3) + 1, '\0');
  text.resize(EVP_EncodeBlock(reinterpret_cast<unsigned char *>(text.data()),
                              reinterpret_cast<const unsigned char *>(bytes.data()),
                              static_cast<int>(bytes.size())));
  return text;
}

std::string base64(const std::vector<std::int16_t> &numbers) {
  std::string bytes;
  for (const std::int16_t n : numbers) {
    const auto u = static_cast<std::uint16_t>(n);
    bytes += static_cast<char>(u & 0xff);
    bytes += static_cast<char>(u >> 8);
  }
  return base64(bytes);
}

namespace {

std::string sha256(const std::string &bytes) {
  unsigned char digest[EVP_MAX_MD_SIZE];
  unsigned length = 0;
  if (EVP_Digest(bytes.data(), bytes.size(), digest, &length, EVP_sha256(), nullptr) != 1)
    throw std::runtime_error("SHA-256 is not to be had from OpenSSL");
  return std::string(reinterpret_cast<char *>(digest), length);
}

} // namespace

std::string sha256_hex(const std::string &bytes) {
  std::string text;
  for (const unsigned char c : sha256(bytes))
    for (const int half : {c >> 4, c & 15})
      text += "0123456789abcdef"[half];
  return text;
}

std::string policy_hash(const std::string &bytes) {
  return "sha256-" + base64(sha256(bytes));
}

std::string half_size_jpeg(const std::string &png_path) {
  vtkNew<vtkPNGReader> reader;
  if (!reader->CanReadFile(png_path.c_str()))
    return "";
  reader->SetFileName(png_path.c_str());
  reader->Update();
  vtkImageData *image = reader->GetOutput();
  const int *size = image->GetDimensions();
  const int parts = image->GetNumberOfScalarComponents();
  if (image->GetScalarType() != VTK_UNSIGNED_CHAR || parts < 3 || size[0] < 2 || size[1] < 2)
    return "";
  vtkNew<vtkImageData> half; // each of its points: the mean of four
  half->SetDimensions(size[0] / 2, size[1] / 2, 1);
  half->AllocateScalars(VTK_UNSIGNED_CHAR, 3);
  const auto *from = static_cast<const unsigned char *>(image->GetScalarPointer());
  auto *to = static_cast<unsigned char *>(half->GetScalarPointer());
  const std::size_t row = static_cast<std::size_t>(parts) * size[0];
  for (int y = 0; y < size[1] / 2; ++y)
    for (int x = 0; x < size[0] / 2; ++x)
      for (int c = 0; c < 3; ++c) {
        const unsigned char *p = from + 2 * y * row + 2 * x * parts + c;
        *to++ = static_cast<unsigned char>((p[0] + p[parts] + p[row] + p[row + parts] + 2) / 4);
      }
  vtkNew<vtkJPEGWriter> writer;
  writer->SetInputData(half);
  writer->WriteToMemoryOn();
  writer->SetQuality(82);
  writer->Write();
  vtkUnsignedCharArray *bytes = writer->GetResult();
  return std::string(reinterpret_cast<char *>(bytes->GetPointer(0)), bytes->GetNumberOfValues());
}

} // namespace raybend

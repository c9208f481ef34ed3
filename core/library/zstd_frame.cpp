#include "core/library/zstd_frame.h"

#include <zstd.h>

#include <new>

namespace beatwitness::library {
namespace {

/// A block of 128 KiB of one byte takes 4 bytes: no sound frame holds more than this times its own length.
constexpr unsigned long long highestRatio = 32768;
constexpr unsigned long long oneBlock = 128 * 1024;

}  // namespace

void FramePacker::Free::operator()(ZSTD_CCtx_s* context) const {
    ZSTD_freeCCtx(context);
}

void FrameUnpacker::Free::operator()(ZSTD_DCtx_s* context) const {
    ZSTD_freeDCtx(context);
}

FramePacker::FramePacker() : context_{ZSTD_createCCtx()} {
    if (!context_) throw std::bad_alloc{};
    ZSTD_CCtx_setParameter(context_.get(), ZSTD_c_checksumFlag, 1);
}
FramePacker::~FramePacker() = default;
FramePacker::FramePacker(FramePacker&&) noexcept = default;
FramePacker& FramePacker::operator=(FramePacker&&) noexcept = default;

std::vector<std::byte> FramePacker::pack(std::span<const std::byte> bytes, int level) {
    ZSTD_CCtx_setParameter(context_.get(), ZSTD_c_compressionLevel, level);
    std::vector<std::byte> frame(ZSTD_compressBound(bytes.size()));
    const std::size_t size =
        ZSTD_compress2(context_.get(), frame.data(), frame.size(), bytes.data(), bytes.size());
    if (ZSTD_isError(size)) throw std::bad_alloc{};  // the bound leaves no other reason
    frame.resize(size);
    return frame;
}

FrameUnpacker::FrameUnpacker() : context_{ZSTD_createDCtx()} {
    if (!context_) throw std::bad_alloc{};
}
FrameUnpacker::~FrameUnpacker() = default;
FrameUnpacker::FrameUnpacker(FrameUnpacker&&) noexcept = default;
FrameUnpacker& FrameUnpacker::operator=(FrameUnpacker&&) noexcept = default;

std::optional<std::vector<std::byte>> FrameUnpacker::unpack(std::span<const std::byte> frame) {
    const unsigned long long claimed = ZSTD_getFrameContentSize(frame.data(), frame.size());
    if (claimed == ZSTD_CONTENTSIZE_UNKNOWN || claimed == ZSTD_CONTENTSIZE_ERROR) return std::nullopt;
    if (claimed > highestRatio * frame.size() + oneBlock) return std::nullopt;
    std::vector<std::byte> bytes(claimed);
    const std::size_t size =
        ZSTD_decompressDCtx(context_.get(), bytes.data(), bytes.size(), frame.data(), frame.size());
    if (ZSTD_isError(size) || size != claimed) return std::nullopt;
    return bytes;
}

}  // namespace beatwitness::library

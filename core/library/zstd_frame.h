#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <vector>

struct ZSTD_CCtx_s;
struct ZSTD_DCtx_s;

namespace beatwitness::library {

/// Packs bytes into zstd frames (RFC 8878) that carry their length and a checksum. Keeps its working memory
/// from frame to frame.
class FramePacker {
public:
    FramePacker();
    ~FramePacker();
    FramePacker(FramePacker&&) noexcept;
    FramePacker& operator=(FramePacker&&) noexcept;

    /// `level` 1 (fastest) to 19 (smallest).
    [[nodiscard]] std::vector<std::byte> pack(std::span<const std::byte> bytes, int level);

private:
    struct Free {
        void operator()(ZSTD_CCtx_s* context) const;
    };
    std::unique_ptr<ZSTD_CCtx_s, Free> context_;
};

/// The other way.
class FrameUnpacker {
public:
    FrameUnpacker();
    ~FrameUnpacker();
    FrameUnpacker(FrameUnpacker&&) noexcept;
    FrameUnpacker& operator=(FrameUnpacker&&) noexcept;

    /// The packed bytes; nothing where the frame is damaged. Memory stays in proportion to the frame,
    /// whatever length a damaged one claims.
    [[nodiscard]] std::optional<std::vector<std::byte>> unpack(std::span<const std::byte> frame);

private:
    struct Free {
        void operator()(ZSTD_DCtx_s* context) const;
    };
    std::unique_ptr<ZSTD_DCtx_s, Free> context_;
};

}  // namespace beatwitness::library

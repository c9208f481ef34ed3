#include "widgets/figures/motion_export.h"

#include <gtest/gtest.h>

#include <QDir>
#include <QProcess>
#include <QStandardPaths>
#include <QTemporaryDir>

#include "core/report/figures/session_scenes.h"
#include "tests/widgets/plots/demo_session.h"

namespace beatwitness::widgets {
namespace {

Film film(const char* size = "320x180", double length_s = 0.5) {
    const auto session = widgets_test::rowingSession(48, 1);
    report::SessionWords words;
    words.title = "Intervals on the ergometer";
    words.devices = {"band"};
    report::OverlayOptions options;
    options.mapBeside = true;
    Film film;
    film.scene = report::overlayScene(*session, words, options);
    film.motion = {0.0, 48.0 * 60.0, true, report::pairsShown(*session, options)};
    film.size = *figureSize(QString::fromLatin1(size), film.scene.aspect);
    film.options.length_s = length_s;
    film.options.rate = {24, 1};
    return film;
}

QStringList namesIn(const QTemporaryDir& folder) {
    return QDir(folder.path()).entryList(QDir::AllEntries | QDir::Hidden | QDir::NoDotAndDotDot, QDir::Name);
}

/// "h264,320,180,yuv420p,24/1" of the film's picture stream.
QString probed(const QString& path) {
    QProcess probe;
    probe.start(
        QStringLiteral("ffprobe"),
        {QStringLiteral("-v"), QStringLiteral("error"), QStringLiteral("-count_frames"),
         QStringLiteral("-select_streams"), QStringLiteral("v:0"), QStringLiteral("-show_entries"),
         QStringLiteral("stream=codec_name,width,height,pix_fmt,color_space,r_frame_rate,nb_read_frames"),
         QStringLiteral("-of"), QStringLiteral("csv=p=0"), path});
    probe.waitForFinished();
    return QString::fromLatin1(probe.readAllStandardOutput()).trimmed();
}

bool hasEncoder() {
    return !QStandardPaths::findExecutable(QStringLiteral("ffmpeg")).isEmpty() &&
           !QStandardPaths::findExecutable(QStringLiteral("ffprobe")).isEmpty();
}

TEST(MotionExport, KnowsWholeRatesAndThoseOfTelevision) {
    EXPECT_DOUBLE_EQ(frameRate(QStringLiteral("25"))->perSecond(), 25.0);
    EXPECT_DOUBLE_EQ(frameRate(QStringLiteral("29.97"))->perSecond(), 30000.0 / 1001.0);
    ASSERT_FALSE(frameRate(QStringLiteral("27")));
    EXPECT_EQ(frameRate(QStringLiteral("27")).fault().code, FaultCode::WrongUsage);
}

TEST(MotionExport, WritesAFrameForEveryTickOfTheLength) {
    const QTemporaryDir folder;

    const auto frames = writeFilm(film(), folder.filePath(QStringLiteral("trace.png")), {});

    ASSERT_TRUE(frames) << frames.fault().message;
    EXPECT_EQ(*frames, 12u);
    const auto names = namesIn(folder);
    ASSERT_EQ(names.size(), 12);
    EXPECT_EQ(names.front(), QStringLiteral("trace-00001.png"));
    EXPECT_EQ(names.back(), QStringLiteral("trace-00012.png"));
    EXPECT_EQ(QImage(folder.filePath(names.back())).size(), QSize(320, 180));
}

TEST(MotionExport, EndsWithTheStill) {
    auto whole = film();
    whole.options.style = report::MotionStyle::Cursor;
    whole.motion.hasTimeAxis = false;  // without the cursor, which no still has

    EXPECT_EQ(filmFrame(whole, frameCount(whole.options) - 1),
              sceneImage(whole.scene, whole.size, whole.style));
    EXPECT_NE(filmFrame(whole, 0), sceneImage(whole.scene, whole.size, whole.style));
}

TEST(MotionExport, LeavesNothingWhereItIsStopped) {
    const QTemporaryDir folder;
    std::stop_source stop;
    const RunControl run(stop.get_token(), [&](double done) {
        if (done > 0.1) stop.request_stop();
    });

    const auto frames = writeFilm(film("320x180", 20.0), folder.filePath(QStringLiteral("trace.png")), run);

    ASSERT_FALSE(frames);
    EXPECT_EQ(frames.fault().code, FaultCode::Cancelled);
    EXPECT_EQ(namesIn(folder), QStringList{});
}

TEST(MotionExport, NeverRunsIntoALongerFilmOfThatName) {
    const QTemporaryDir folder;
    QFile longer(folder.filePath(QStringLiteral("trace-00013.png")));
    ASSERT_TRUE(longer.open(QIODevice::WriteOnly));

    const auto frames = writeFilm(film(), folder.filePath(QStringLiteral("trace.png")), {});

    ASSERT_FALSE(frames);
    EXPECT_NE(frames.fault().message.find("trace-00013.png"), std::string::npos);
    EXPECT_EQ(namesIn(folder).size(), 1);
}

TEST(MotionExport, SaysInOneSentenceWhatIsMissingWithoutTheEncoder) {
    const QByteArray path = qgetenv("PATH");
    qputenv("PATH", "/nowhere");
    const auto can = canWriteFilm(film(), MotionFormat::H264);
    qputenv("PATH", path);

    ASSERT_FALSE(can);
    EXPECT_NE(can.fault().message.find("ffmpeg"), std::string::npos);
}

TEST(MotionExport, RefusesTransparencyAndOddSizesInH264) {
    if (!hasEncoder()) GTEST_SKIP() << "no ffmpeg";
    auto clear = film();
    clear.style.transparent = true;

    EXPECT_FALSE(canWriteFilm(clear, MotionFormat::H264));
    EXPECT_FALSE(canWriteFilm(film("321x180"), MotionFormat::H264));
    EXPECT_TRUE(canWriteFilm(film(), MotionFormat::H264));
}

// What another program reads in the file, not what we asked for.
TEST(MotionExport, GivesFilmsThatAnotherProgramReads) {
    if (!hasEncoder()) GTEST_SKIP() << "no ffmpeg";
    const QTemporaryDir folder;
    for (const auto& [ending, facts] : {std::pair{"mp4", "h264,320,180,yuv420p,bt709,24/1,12"},
                                        {"mov", "prores,320,180,yuva444p12le,bt709,24/1,12"}}) {
        const QString path = folder.filePath(QStringLiteral("film.") + QLatin1String(ending));

        const auto frames = writeFilm(film(), path, {});

        ASSERT_TRUE(frames) << frames.fault().message;
        EXPECT_EQ(probed(path), QLatin1String(facts));
    }
    EXPECT_EQ(namesIn(folder).size(), 2);
}

TEST(MotionExport, KeepsTransparencyInVp9) {
    if (!hasEncoder()) GTEST_SKIP() << "no ffmpeg";
    const QTemporaryDir folder;
    auto clear = film();
    clear.style.transparent = true;
    const QString path = folder.filePath(QStringLiteral("film.webm"));

    ASSERT_TRUE(writeFilm(clear, path, {}));

    QProcess frame;
    frame.start(QStringLiteral("ffmpeg"),
                {QStringLiteral("-v"), QStringLiteral("error"), QStringLiteral("-c:v"),
                 QStringLiteral("libvpx-vp9"), QStringLiteral("-i"), path, QStringLiteral("-frames:v"),
                 QStringLiteral("1"), folder.filePath(QStringLiteral("frame.png"))});
    frame.waitForFinished();
    EXPECT_LT(qAlpha(QImage(folder.filePath(QStringLiteral("frame.png"))).pixel(2, 2)), 8);
}

TEST(MotionExport, OfAFilmThatCannotBeMadeLeavesTheOldOne) {
    if (!hasEncoder()) GTEST_SKIP() << "no ffmpeg";
    const QTemporaryDir folder;
    const QString path = folder.filePath(QStringLiteral("film.mp4"));
    {
        QFile old(path);
        ASSERT_TRUE(old.open(QIODevice::WriteOnly) && old.write("old") == 3);
    }
    std::stop_source stop;
    stop.request_stop();

    ASSERT_FALSE(writeFilm(film(), path, RunControl(stop.get_token(), {})));

    EXPECT_EQ(QFileInfo(path).size(), 3);
    EXPECT_EQ(namesIn(folder).size(), 1);
}

}  // namespace
}  // namespace beatwitness::widgets

// What a desktop reads of us, judged by the desktop's own tools where they are installed.
#include <gtest/gtest.h>

#include <QDir>
#include <QProcess>
#include <QStandardPaths>
#include <QXmlStreamReader>

#include "tests/support/shared_files.h"

namespace beatwitness::tests {
namespace {

const QString id = QStringLiteral("org.beatwitness.Beatwitness");

QString resource(const QString& name) {
    return QDir(QString::fromStdString((projectFolder() / "resources").string())).filePath(name);
}

/// What `tool` printed, and whether it was content.
std::pair<bool, std::string> judgedBy(const QString& tool, const QStringList& arguments) {
    QProcess process;
    process.setProcessChannelMode(QProcess::MergedChannels);
    process.start(tool, arguments);
    const bool content = process.waitForFinished(20000) && process.exitCode() == 0;
    return {content, process.readAll().toStdString()};
}

bool present(const QString& tool) {
    return !QStandardPaths::findExecutable(tool).isEmpty();
}

TEST(DesktopFiles, TheDesktopEntryIsValid) {
    if (!present("desktop-file-validate")) GTEST_SKIP() << "desktop-file-validate is not installed";

    const auto [content, words] = judgedBy("desktop-file-validate", {resource(id + ".desktop")});

    EXPECT_TRUE(content && words.empty()) << words;
}

TEST(DesktopFiles, TheMetainfoIsValid) {
    if (!present("appstreamcli")) GTEST_SKIP() << "appstreamcli is not installed";

    const auto [content, words] =
        judgedBy("appstreamcli", {"validate", "--no-net", resource(id + ".metainfo.xml")});

    EXPECT_TRUE(content) << words;
}

TEST(DesktopFiles, TheMimeTypesAreWellFormedAndTheOnesTheDesktopEntryNames) {
    QFile mime(resource(id + ".mime.xml")), entry(resource(id + ".desktop"));
    ASSERT_TRUE(mime.open(QIODevice::ReadOnly) && entry.open(QIODevice::ReadOnly));
    const QString offered = QString::fromUtf8(entry.readAll());

    QXmlStreamReader xml(&mime);
    int types = 0;
    while (!xml.atEnd())
        if (xml.readNext() == QXmlStreamReader::StartElement && xml.name() == QLatin1String("mime-type")) {
            ++types;
            EXPECT_TRUE(offered.contains(xml.attributes().value("type").toString() + ';'));
        }

    EXPECT_FALSE(xml.hasError()) << xml.errorString().toStdString();
    EXPECT_EQ(types, 2);
}

}  // namespace
}  // namespace beatwitness::tests

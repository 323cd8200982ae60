// SPDX-License-Identifier: Apache-2.0
#pragma once
// A structured document (PS3.3 C.17.3) written from the top down: each item's children are added by the function that is handed on with it. What the document type does
// not allow is remembered as a fault and told at the end. Texts are UTF-8.
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "perisclera/core/result.h"
#include "src/report/codes.h"
#include "src/report/filed_object.h"

namespace perisclera::report {

enum class Relation { contains, concept_modifier, observation_context, acquisition_context, properties, inferred_from };

/// An object that a document refers to.
struct InstanceReference {
    std::string study_uid, series_uid, sop_class_uid, sop_instance_uid;
};

/// Which part of it: nothing, one frame, or one segment.
struct ImagePart {
    int frame = 0, segment = 0;
};

class ContentTree {
public:
    using Children = std::function<void()>;
    enum class Kind { measurement_report, key_object_selection };

    /// Comprehensive 3D SR by TID 1500, or Key Object Selection by TID 2010; both of PS3.16.
    ContentTree(Kind kind, const Code& title);
    ~ContentTree();

    void container(Relation relation, const Code& about, const Children& children, const char* template_id = nullptr);
    void code(Relation relation, const Code& about, const Code& value, const Children& children = {});
    void text(Relation relation, const Code& about, const std::string& words);
    void uid(Relation relation, const Code& about, const std::string& value);
    /// A number as it is to be written.
    void number(Relation relation, const Code& about, double value, const Code& unit, const Children& children = {});
    /// The number that is missing, and why.
    void no_number(Relation relation, const Code& about, const Code& qualifier, const Children& children = {});
    void image(Relation relation, const Code* about, const InstanceReference& reference, ImagePart part = {});

    /// Lists an object among what the document rests on: of its own study, or of others.
    void evidence(const InstanceReference& reference, bool same_study);

    /// The finished document as a DICOM file: complete, not verified. Error: internal_fault.
    Result<std::string> bytes(const StudyFiling& study, const FiledSeries& series, const FiledInstance& instance, const Moment& now);

private:
    struct Document;
    bool add(Relation relation, int value_type, const Code* about);
    void finish(const Children& children);
    std::unique_ptr<Document> document_;
};

}  // namespace perisclera::report

// libqpdf's headers, made to compile. Internal to filled/, for its .cpp files alone: they are heavy.
#pragma once

#define POINTERHOLDER_TRANSITION 4 // its pointers are the standard library's
// As C++20, clang 14 refuses JSON.hh of libqpdf 11 (a list of what is not yet complete). Nothing of it is used here: its name is enough.
#define JSON_HH
class JSON;

#include <qpdf/Pl_Flate.hh>
#include <qpdf/Pl_String.hh>
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFLogger.hh>
#include <qpdf/QPDFObjectHandle.hh>
#include <qpdf/QPDFStreamFilter.hh>
